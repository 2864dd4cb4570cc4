// SPDX-License-Identifier: MIT
#include "session/json_file.h"

#include "base/atomic_file.h"
#include "base/error.h"
#include "base/whole_number.h"
#include "session/json_text.h"

#include <fmt/format.h>

namespace evenfeed {
namespace {

using Json = nlohmann::ordered_json;

// Writing JSON calls itself for every level, until the stack is full.
constexpr int kDeepest = 100;

Json parsed(const std::string& text) {
  bool too_deep = false;
  Json json = Json::parse(
      text,
      [&](int depth, Json::parse_event_t, Json&) {
        too_deep = too_deep || depth > kDeepest;
        return !too_deep;
      },
      false);
  return too_deep ? Json() : json;
}

}  // namespace

JsonFile::JsonFile(const std::filesystem::path& path)
    : path_(path.string()), json_(parsed(read_file(path))) {
  if (!json_.is_object()) refuse("this is not JSON as evenfeed writes it");
}

bool JsonFile::has(const char* key) const {
  return json_.contains(key) && !json_[key].is_null();
}

std::string JsonFile::text(const char* key) const {
  if (!has(key)) return {};
  if (!json_[key].is_string()) refuse_key(key, "a text");
  return json_[key].get<std::string>();
}

std::int64_t JsonFile::whole(const char* key) const {
  if (!has(key) || !json_[key].is_number_integer()) {
    refuse_key(key, "a whole number");
  }
  return json_[key].get<std::int64_t>();
}

bool JsonFile::flag(const char* key) const {
  if (!has(key) || !json_[key].is_boolean()) refuse_key(key, "true or false");
  return json_[key].get<bool>();
}

std::optional<int> JsonFile::feed(const char* key) const {
  if (!has(key)) return std::nullopt;
  if (!json_[key].is_number()) refuse_key(key, "a feed's number");
  const auto number = whole_number(json_[key].get<double>());
  if (!number) refuse_key(key, "a feed's number");
  return number;
}

std::vector<Property> JsonFile::properties(const char* key) const {
  std::vector<Property> out;
  if (!has(key)) return out;
  if (!json_[key].is_object()) refuse_key(key, "key and value pairs");
  for (const auto& [name, value] : json_[key].items()) {
    if (!value.is_string()) refuse_key(name.c_str(), "a text");
    out.push_back({name, value.get<std::string>()});
  }
  return out;
}

std::map<std::string, double> JsonFile::numbers(const char* key) const {
  std::map<std::string, double> out;
  if (!has(key)) return out;
  if (!json_[key].is_object()) refuse_key(key, "names and numbers");
  for (const auto& [name, value] : json_[key].items()) {
    if (!value.is_number()) refuse_key(name.c_str(), "a number");
    out[name] = value.get<double>();
  }
  return out;
}

std::vector<JsonFile> JsonFile::objects(const char* key) const {
  std::vector<JsonFile> out;
  if (!has(key)) return out;
  if (!json_[key].is_array()) refuse_key(key, "a list");
  for (const auto& one : json_[key]) {
    if (!one.is_object()) refuse_key(key, "a list of objects");
    out.push_back(JsonFile(path_, one));
  }
  return out;
}

double JsonFile::number(const char* key) const {
  if (!has(key) || !json_[key].is_number()) refuse_key(key, "a number");
  return json_[key].get<double>();
}

std::string JsonFile::without(const char* key) const {
  Json rest = json_;
  rest.erase(key);
  return json_line(rest);
}

void JsonFile::refuse(const std::string& problem) const {
  throw InputError(
      path_, problem, "Run 'evenfeed session' into the folder anew");
}

void JsonFile::refuse_key(const char* key, const char* allowed) const {
  refuse(fmt::format("'{}' is missing or not {}", key, allowed));
}

}  // namespace evenfeed
