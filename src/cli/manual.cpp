// SPDX-License-Identifier: MIT
#include "cli/manual.h"

#include "base/version.h"

#include <algorithm>
#include <cctype>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// A page without a date is not well formed, and one built anew is no newer.
constexpr const char* kWritten = "2026-11-27";

// Text as it is: no letter of it is a command of the formatter's.
std::string plain(const std::string& text) {
  std::string out;
  for (const char c : text) {
    if (c == '\\') {
      out += "\\e";
    } else if (c == '-') {
      out += "\\-";
    } else {
      out += c;
    }
  }
  if (!out.empty() && (out[0] == '.' || out[0] == '\'')) out = "\\&" + out;
  return out;
}

std::string capitals(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) {
    return static_cast<char>(std::toupper(c));
  });
  return text;
}

std::string full_name(const TreeCommand& command) {
  return command.path.empty() ? "evenfeed" : "evenfeed " + command.path;
}

std::string page_name(const TreeCommand& command) {
  std::string name = full_name(command);
  std::replace(name.begin(), name.end(), ' ', '-');
  return name;
}

std::string tagged_paragraph(const std::string& term,
                             const std::string& meaning) {
  return fmt::format(".TP\n\\fB{}\\fR\n{}\n", plain(term), plain(meaning));
}

std::string synopsis(const TreeCommand& command) {
  std::string line = "\\fB" + plain(full_name(command)) + "\\fR";
  if (!command.below.empty()) line += " \\fICOMMAND\\fR";
  for (const TreeOption& one : command.options) {
    if (one.name.empty()) {
      line +=
          one.required ? " " + plain(one.words) : " [" + plain(one.words) + "]";
    } else if (one.required) {
      line += " " + plain(one.words);
    }
  }
  return line + " [\\fIOPTION\\fR...]\n";
}

std::string options_text(const TreeCommand& command) {
  std::string text;
  for (const TreeOption& one : command.options) {
    text += tagged_paragraph(one.words, one.meaning);
  }
  return text;
}

std::string examples_text(const TreeCommand& command) {
  std::string text;
  for (const std::string& one : command.examples) {
    text += fmt::format(".EX\n{}\n.EE\n", plain(one));
  }
  return text;
}

std::string commands_of_program(const TreeCommand& root) {
  std::string text = ".SH COMMANDS\n";
  std::string task;
  for (const TreeCommand& one : root.below) {
    if (one.task != task) {
      task = one.task;
      text += fmt::format(".SS {}\n", plain(task));
    }
    text += tagged_paragraph(page_name(one) + "(1)", one.summary + ".");
  }
  return text;
}

}  // namespace

std::string manual_page(const TreeCommand& root, const TreeCommand& command) {
  const bool program = &command == &root;
  std::string text = fmt::format(
      ".TH {} 1 \"{}\" \"evenfeed {}\" \"evenfeed\"\n.SH NAME\n{} \\- {}\n"
      ".SH SYNOPSIS\n{}",
      plain(capitals(page_name(command))),
      kWritten,
      program_version(),
      plain(page_name(command)),
      plain(program
                ? "measure what a ball launcher feeds, and whether it is even"
                : command.summary),
      synopsis(command));
  text += fmt::format(".SH DESCRIPTION\n{}.\n", plain(command.summary));
  if (program) {
    text += commands_of_program(root);
  } else {
    for (const TreeCommand& one : command.below) {
      text += fmt::format(".SH {}\n{}.\n.PP\n{}{}",
                          plain(capitals(full_name(one))),
                          plain(one.summary),
                          synopsis(one),
                          options_text(one));
      text += ".PP\n" + examples_text(one);
    }
  }
  text += ".SH OPTIONS\n" + options_text(command);
  if (!command.examples.empty() && command.below.empty()) {
    text += ".SH EXAMPLES\n" + examples_text(command);
  }
  text +=
      ".SH ENVIRONMENT\n" +
      tagged_paragraph("EVENFEED_PROFILES",
                       "A folder of profiles of one's own, looked in first.");
  text += ".SH EXIT STATUS\n" + tagged_paragraph("0", "Done.") +
          tagged_paragraph("1", "It could not be done; the message says why.") +
          tagged_paragraph("2", "It was called wrongly.") +
          tagged_paragraph("3", "Only with --gate: the launcher is not ready.");
  if (!program) text += ".SH SEE ALSO\n\\fBevenfeed\\fR(1)\n";
  return text;
}

}  // namespace evenfeed
