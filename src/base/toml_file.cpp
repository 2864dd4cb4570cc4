// SPDX-License-Identifier: MIT
#include "base/toml_file.h"

#include "base/atomic_file.h"
#include "base/foreign_bytes.h"

#include <cmath>
#include <map>

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <toml++/toml.h>

namespace evenfeed {

struct TomlTable::Impl {
  std::shared_ptr<toml::table> root;  // keeps the parsed file alive
  const toml::table* table = nullptr;
  std::string file;
  std::string path;  // "surface.net", empty at the root
  std::set<std::string, std::less<>> known;
  std::map<std::string, std::vector<std::shared_ptr<Impl>>, std::less<>> opened;

  const toml::node* find(std::string_view key) {
    known.emplace(key);
    return table->get(key);
  }
};

namespace {

std::string join_path(const std::string& path, std::string_view key) {
  if (path.empty()) return std::string(key);
  return key.empty() ? path : fmt::format("{}.{}", path, key);
}

// The parser calls itself for every dot of a key, until the stack is full.
// Counted outside of strings; a comma ends a number, not a key.
void refuse_deep_keys(std::string_view text, const std::string& name) {
  constexpr int kMostDots = 100;
  int line = 1;
  int dots = 0;
  char quote = 0;
  for (const char c : text) {
    if (c == '\n') {
      ++line;
      dots = 0;
      quote = 0;
    } else if (quote != 0) {
      if (c == quote) quote = 0;
    } else if (c == '"' || c == '\'') {
      quote = c;
    } else if (c == ',') {
      dots = 0;
    } else if (c == '.' && ++dots > kMostDots) {
      throw InputError(fmt::format("{}:{}", name, line),
                       fmt::format("a key of more than {} parts", kMostDots),
                       "Mend this line: no key here has more than a few");
    }
  }
}

}  // namespace

TomlTable TomlTable::read(const std::filesystem::path& path) {
  return parse(read_file(path), path.string());
}

TomlTable TomlTable::parse(std::string_view text, std::string name) {
  auto impl = std::make_shared<Impl>();
  impl->file = name;
  require_utf8_text(text, name, "TOML");
  refuse_deep_keys(text, name);
  try {
    impl->root = std::make_shared<toml::table>(toml::parse(text, name));
  } catch (const toml::parse_error& error) {
    throw InputError(fmt::format("{}:{}", name, error.source().begin.line),
                     std::string(error.description()),
                     "Mend this line: the file must be TOML");
  }
  impl->table = impl->root.get();
  return TomlTable(impl);
}

std::string TomlTable::place(std::string_view key) const {
  const toml::node* node = key.empty() ? impl_->table : impl_->table->get(key);
  if (node == nullptr) node = impl_->table;
  const auto line = node->source().begin.line;
  const std::string path = join_path(impl_->path, key);
  std::string place =
      line > 0 ? fmt::format("{}:{}", impl_->file, line) : impl_->file;
  if (!path.empty()) place += fmt::format(", key '{}'", path);
  return place;
}

void TomlTable::refuse(std::string_view key,
                       const std::string& problem,
                       const std::string& mend) const {
  throw InputError(place(key), problem, mend);
}

bool TomlTable::has(std::string_view key) const {
  if (impl_->table->contains(key)) return true;
  impl_->known.emplace(key);  // for the message: it might have been there
  return false;
}

double TomlTable::number(std::string_view key) const {
  const toml::node* node = impl_->find(key);
  if (node == nullptr) refuse(key, "this key is missing", "Add it");
  const auto value = node->is_number() ? node->value<double>() : std::nullopt;
  if (!value) refuse(key, "not a number", "Write a number without a unit");
  if (!std::isfinite(*value)) {
    refuse(key,
           fmt::format("{} is not finite", *value),
           "Write a finite "
           "number");
  }
  return *value;
}

double TomlTable::number(std::string_view key, double otherwise) const {
  impl_->known.emplace(key);
  return has(key) ? number(key) : otherwise;
}

int TomlTable::integer(std::string_view key) const {
  const toml::node* node = impl_->find(key);
  if (node == nullptr) refuse(key, "this key is missing", "Add it");
  const auto value = node->is_integer() ? node->value<int>() : std::nullopt;
  if (!value) refuse(key, "not a whole number", "Write a whole number");
  return *value;
}

int TomlTable::integer(std::string_view key, int otherwise) const {
  impl_->known.emplace(key);
  return has(key) ? integer(key) : otherwise;
}

bool TomlTable::flag(std::string_view key, bool otherwise) const {
  const toml::node* node = impl_->find(key);
  if (node == nullptr) return otherwise;
  if (!node->is_boolean()) refuse(key, "not true or false", "Write one");
  return *node->value<bool>();
}

std::string TomlTable::text(std::string_view key) const {
  const toml::node* node = impl_->find(key);
  if (node == nullptr) refuse(key, "this key is missing", "Add it");
  if (!node->is_string()) refuse(key, "not a text", "Put it in quotes");
  return *node->value<std::string>();
}

std::string TomlTable::text(std::string_view key,
                            std::string_view otherwise) const {
  impl_->known.emplace(key);
  return has(key) ? text(key) : std::string(otherwise);
}

std::vector<double> TomlTable::numbers(std::string_view key) const {
  const toml::node* node = impl_->find(key);
  if (node == nullptr) refuse(key, "this key is missing", "Add it");
  const toml::array* array = node->as_array();
  if (array == nullptr) refuse(key, "not a list", "Write [a, b, ...]");
  std::vector<double> values;
  for (const toml::node& item : *array) {
    const auto value = item.is_number() ? item.value<double>() : std::nullopt;
    if (!value || !std::isfinite(*value)) {
      refuse(key,
             "the list holds something other than finite numbers",
             "Write numbers only");
    }
    values.push_back(*value);
  }
  return values;
}

std::vector<std::string> TomlTable::texts(std::string_view key) const {
  const toml::node* node = impl_->find(key);
  if (node == nullptr) refuse(key, "this key is missing", "Add it");
  const toml::array* array = node->as_array();
  if (array == nullptr) refuse(key, "not a list", "Write [\"a\", \"b\"]");
  std::vector<std::string> values;
  for (const toml::node& item : *array) {
    if (!item.is_string()) {
      refuse(key,
             "the list holds something other than texts",
             "Put each in quotes");
    }
    values.push_back(*item.value<std::string>());
  }
  return values;
}

std::vector<double> TomlTable::numbers(std::string_view key,
                                       std::size_t size) const {
  std::vector<double> values = numbers(key);
  if (values.size() != size) {
    refuse(key,
           fmt::format("{} numbers where {} are needed", values.size(), size),
           "Give exactly that many");
  }
  return values;
}

TomlTable TomlTable::table(std::string_view key) const {
  if (!has(key)) refuse(key, "this section is missing", "Add it");
  return table_or_empty(key);
}

TomlTable TomlTable::table_or_empty(std::string_view key) const {
  static const toml::table kEmpty;
  const toml::node* node = impl_->find(key);
  if (node != nullptr && !node->is_table()) {
    refuse(key, "not a section", fmt::format("Write it as [{}]", key));
  }
  if (const auto it = impl_->opened.find(key); it != impl_->opened.end()) {
    return TomlTable(it->second.front());
  }
  auto child = std::make_shared<Impl>();
  child->root = impl_->root;
  child->table = node == nullptr ? &kEmpty : node->as_table();
  child->file = impl_->file;
  child->path = join_path(impl_->path, key);
  impl_->opened[std::string(key)] = {child};
  return TomlTable(child);
}

std::vector<TomlTable> TomlTable::tables(std::string_view key) const {
  std::vector<TomlTable> result;
  const toml::node* node = impl_->find(key);
  if (node == nullptr) return result;
  const toml::array* array = node->as_array();
  if (array == nullptr) {
    refuse(key, "not a list of sections", fmt::format("Write [[{}]]", key));
  }
  auto& opened = impl_->opened[std::string(key)];
  opened.clear();
  for (const toml::node& item : *array) {
    if (!item.is_table()) {
      refuse(key,
             "the list holds something other than sections",
             fmt::format("Write [[{}]]", key));
    }
    auto child = std::make_shared<Impl>();
    child->root = impl_->root;
    child->table = item.as_table();
    child->file = impl_->file;
    child->path = join_path(impl_->path, key);
    opened.push_back(child);
    result.push_back(TomlTable(child));
  }
  return result;
}

std::vector<std::string> TomlTable::keys() const {
  std::vector<std::string> names;
  for (const auto& [key, node] : *impl_->table) {
    names.emplace_back(key.str());
  }
  return names;
}

void TomlTable::ignore(std::string_view key) const {
  impl_->known.emplace(key);
}

void TomlTable::refuse_unknown() const {
  for (const std::string& key : keys()) {
    if (!impl_->known.contains(key)) {
      refuse(key,
             "this key is not known",
             fmt::format("Allowed here: {}", fmt::join(impl_->known, ", ")));
    }
  }
  for (const auto& [key, children] : impl_->opened) {
    for (const auto& child : children) TomlTable(child).refuse_unknown();
  }
}

void TomlWriter::comment(std::string_view text) {
  text_ += fmt::format("# {}\n", text);
}

void TomlWriter::section(std::string_view name) {
  text_ += fmt::format("{}[{}]\n", text_.empty() ? "" : "\n", name);
}

void TomlWriter::line(std::string_view key,
                      std::string value,
                      std::string_view note) {
  text_ += fmt::format("{} = {}", key, value);
  text_ += note.empty() ? "\n" : fmt::format("  # {}\n", note);
}

namespace {

// The shortest text that reads back to the same double, always a TOML float.
std::string toml_number(double value) {
  std::string text = fmt::format("{}", value);
  if (text.find_first_of(".en") == std::string::npos) text += ".0";
  return text;
}

}  // namespace

void TomlWriter::number(std::string_view key,
                        double value,
                        std::string_view note) {
  line(key, toml_number(value), note);
}

void TomlWriter::integer(std::string_view key,
                         int value,
                         std::string_view note) {
  line(key, fmt::format("{}", value), note);
}

void TomlWriter::flag(std::string_view key, bool value, std::string_view note) {
  line(key, value ? "true" : "false", note);
}

void TomlWriter::text(std::string_view key,
                      std::string_view value,
                      std::string_view note) {
  std::string escaped = "\"";
  for (const char c : value) {
    if (c == '"' || c == '\\') escaped += '\\';
    escaped += c;
  }
  line(key, escaped + "\"", note);
}

void TomlWriter::numbers(std::string_view key,
                         const std::vector<double>& values,
                         std::string_view note) {
  std::vector<std::string> items;
  for (const double value : values) items.push_back(toml_number(value));
  line(key, fmt::format("[{}]", fmt::join(items, ", ")), note);
}

}  // namespace evenfeed
