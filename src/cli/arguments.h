// SPDX-License-Identifier: MIT
// What a command accepts: the parser, as commands see it. CLI11 stands behind
// it and is compiled once, in arguments.cpp, not in every command. --help, the
// manual pages, the completions of the shells and the hints at what somebody
// may have meant are all made from what is declared here.
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace CLI {
class App;
class Option;
}  // namespace CLI

namespace evenfeed {

/// One option, flag or argument that was declared.
class Argument {
 public:
  explicit Argument(CLI::Option* option) : option_(option) {}
  Argument& required();
  /// --help shows the value it has now.
  Argument& show_default();
  /// What --help calls its value, which tells the shells what to complete:
  /// "FILE", "FOLDER", "PROFILE", "SCENE", or any other word.
  Argument& takes(const std::string& word);
  /// The heading it stands under in --help.
  Argument& group(const std::string& name);
  /// Values may be joined by commas.
  Argument& comma_separated();
  /// Takes `least` to `most` values.
  Argument& count(int least, int most);
  Argument& count(int exactly) { return count(exactly, exactly); }
  /// Checks that say what is allowed. (CLI11's own name the largest double,
  /// all 309 digits of it.)
  Argument& above_zero();
  Argument& zero_or_more();
  Argument& within(double low, double high);
  Argument& one_of(const std::vector<std::string>& words);
  Argument& excludes(const Argument& other);

 private:
  CLI::Option* option_;
};

/// The options of one command. Copies are of the same command.
class Arguments {
 public:
  /// The program's own, which the commands are below.
  Arguments(const std::string& about, const std::string& name);
  ~Arguments();
  explicit Arguments(CLI::App* app);
  Arguments(const Arguments&);
  Arguments& operator=(const Arguments&) = delete;

  /// `name` as in "--out", or as in "FEEDS" for what is given by its place.
  /// T: std::string, int, std::uint64_t, double, std::optional of double, and
  /// std::vector of std::string, int or double. `value` outlives the parsing.
  template <typename T>
  Argument add_option(const std::string& name,
                      T& value,
                      const std::string& help);
  Argument add_flag(const std::string& name,
                    bool& value,
                    const std::string& help);
  /// The flag that every command has.
  Argument add_quiet(bool& value);
  /// That of commands with something to tell; `what` is printed.
  Argument add_json(bool& value, const std::string& what = "what was found");

  Arguments add_command(std::string_view name, std::string_view summary);
  void require_command();
  void add_version(const std::string& text);
  /// What --help ends with, under the heading "Example:" or "Examples:".
  void examples(const std::vector<std::string>& lines);
  /// Was this command given?
  bool given() const;

  CLI::App& parser() const { return *app_; }

 private:
  std::shared_ptr<CLI::App> owned_;
  CLI::App* app_;
};

}  // namespace evenfeed
