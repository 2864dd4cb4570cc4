// SPDX-License-Identifier: MIT
#include "report/provenance_section.h"

#include "base/date_time.h"
#include "base/version.h"
#include "report/html.h"
#include "report/words.h"

#include <filesystem>
#include <vector>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

std::string item(std::string_view name, const std::string& value) {
  if (value.empty()) return {};
  return fmt::format(
      "<div><dt>{}</dt><dd>{}</dd></div>\n", name, escape_html(value));
}

std::string list_of(const std::vector<Property>& properties) {
  std::string text;
  for (const Property& one : properties) {
    text +=
        fmt::format("{}{} = {}", text.empty() ? "" : ", ", one.key, one.value);
  }
  return text;
}

std::string date_of(const SessionHead& head) {
  if (head.started_at <= 0) return {};
  const std::string date = date_time_text(head.started_at);
  const std::string_view known = dated_by_words(head.dated_by);
  return fmt::format("{} {} UTC{}{}",
                     date.substr(0, 10),
                     date.substr(11, 5),
                     known.empty() ? "" : ", ",
                     known);
}

std::string film_of(const Provenance& from) {
  const std::string name =
      std::filesystem::path(from.head.source.path).filename().string();
  const FilmFacts& film = from.film;
  if (name.empty() || film.duration_s <= 0 || film.frames <= 0) return name;
  return fmt::format("{}, {:.1f} s, {} × {} pixels, {:.0f} frames a second",
                     name,
                     film.duration_s,
                     film.width_px,
                     film.height_px,
                     film.frames / film.duration_s);
}

// Only of a film whose speed nobody vouches for.
std::string speed_of(const FilmFacts& film) {
  if (!(film.clock_sd > 0)) return {};
  return fmt::format(
      "known to {:.1f} %, and so are all speeds and durations: the film names "
      "no camera that wrote it",
      100 * film.clock_sd);
}

}  // namespace

std::string provenance_words(const ReportInput& input) {
  const SessionHead& head = input.provenance.head;
  std::vector<std::string> parts;
  if (!head.launcher.empty()) parts.push_back("launcher " + head.launcher);
  if (!head.sample.empty()) parts.push_back("sample " + head.sample);
  if (parts.empty()) parts.push_back(input.title);
  if (head.started_at > 0) {
    parts.push_back("filmed " + date_text(head.started_at));
  }
  parts.push_back("evenfeed " + (head.program_version.empty()
                                     ? std::string(program_version())
                                     : head.program_version));
  return as_sentence(fmt::format("{}", fmt::join(parts, ", ")));
}

std::string provenance_list(const Provenance& from,
                            const std::string& sound,
                            const std::string& declared_here) {
  const SessionHead& head = from.head;
  const std::string items =
      item("Launcher", head.launcher) +
      item("Settings", list_of(from.settings)) + item("Sample", head.sample) +
      item("Declared of it", list_of(from.sample_properties)) +
      item("Declared now", declared_here) + item("Balls", head.ball_set) +
      item("Filmed", date_of(head)) + item("Film", film_of(from)) +
      item("Speed of the film", speed_of(from.film)) + item("Sound", sound) +
      item("Film's SHA-256", head.source.sha256) +
      item("Judged by", head.profile_name) + item("Note", head.note) +
      item("Measured with",
           head.program_version.empty() ? ""
                                        : "evenfeed " + head.program_version);
  return items.empty() ? "" : "<dl>\n" + items + "</dl>";
}

std::string provenance_section(const ReportInput& input) {
  const std::string list = provenance_list(input.provenance, input.sound);
  if (list.empty()) return {};
  return "<section class=\"from\"><h2>What this is about</h2>\n" + list +
         "</section>\n";
}

}  // namespace evenfeed
