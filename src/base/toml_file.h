// SPDX-License-Identifier: MIT
// TOML as this project reads it: strictly. A key nobody asked for, a value of
// the wrong kind and a number that is not finite are refused with file, line
// and key. Writing is done by TomlWriter, so that comments can stand beside
// the keys.
#pragma once

#include "base/error.h"

#include <filesystem>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace evenfeed {

/// A table of an open TOML file. Cheap to copy; copies share what was asked.
class TomlTable {
 public:
  /// Throws InputError with file and line when the file cannot be parsed.
  static TomlTable read(const std::filesystem::path& path);
  static TomlTable parse(std::string_view text, std::string name);

  bool has(std::string_view key) const;
  /// Each getter marks the key as known. The two-argument form gives back
  /// `otherwise` when the key is missing; the other throws.
  double number(std::string_view key) const;
  double number(std::string_view key, double otherwise) const;
  int integer(std::string_view key) const;
  int integer(std::string_view key, int otherwise) const;
  bool flag(std::string_view key, bool otherwise) const;
  std::string text(std::string_view key) const;
  std::string text(std::string_view key, std::string_view otherwise) const;
  std::vector<double> numbers(std::string_view key) const;
  std::vector<std::string> texts(std::string_view key) const;
  /// The array must have exactly `size` numbers.
  std::vector<double> numbers(std::string_view key, std::size_t size) const;

  /// Sub-tables. `table` throws when missing; `table_or_empty` gives an empty
  /// one; `tables` reads an array of tables, empty when missing.
  TomlTable table(std::string_view key) const;
  TomlTable table_or_empty(std::string_view key) const;
  std::vector<TomlTable> tables(std::string_view key) const;

  /// Every key of this table, in the file's order.
  std::vector<std::string> keys() const;
  /// Marks a key as known without reading it (a section another part reads).
  void ignore(std::string_view key) const;
  /// Throws InputError for the first key nobody asked for, here and in every
  /// sub-table that was opened, and says which keys are allowed.
  void refuse_unknown() const;

  /// "file:line, key 'section.key'" for messages.
  std::string place(std::string_view key) const;
  [[noreturn]] void refuse(std::string_view key,
                           const std::string& problem,
                           const std::string& mend) const;

 private:
  struct Impl;
  explicit TomlTable(std::shared_ptr<Impl> impl) : impl_(std::move(impl)) {}
  std::shared_ptr<Impl> impl_;
};

/// Runs options.check() and turns its UsageError into an InputError that
/// names the file and the line of the table the options came from.
template <typename Options>
void check_loaded(const TomlTable& table, const Options& options) {
  try {
    options.check();
  } catch (const UsageError& error) {
    throw InputError(
        table.place(""), error.what(), "Change the value in this section");
  }
}

/// Builds a TOML text line by line.
class TomlWriter {
 public:
  void comment(std::string_view text);
  void section(std::string_view name);
  /// Numbers are written so that they read back exactly.
  void number(std::string_view key, double value, std::string_view note = "");
  void integer(std::string_view key, int value, std::string_view note = "");
  void flag(std::string_view key, bool value, std::string_view note = "");
  void text(std::string_view key,
            std::string_view value,
            std::string_view note = "");
  void numbers(std::string_view key,
               const std::vector<double>& values,
               std::string_view note = "");
  const std::string& str() const { return text_; }

 private:
  void line(std::string_view key, std::string value, std::string_view note);
  std::string text_;
};

}  // namespace evenfeed
