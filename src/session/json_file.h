// SPDX-License-Identifier: MIT
// session.json and summary.json of a session folder, as the program reads its
// own files back: a value may be missing, but not of another kind.
#pragma once

#include "session/session_record.h"

#include <cstdint>
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include <nlohmann/json.hpp>

namespace evenfeed {

class JsonFile {
 public:
  /// Throws InputError for what is no JSON object, or nested beyond all use.
  explicit JsonFile(const std::filesystem::path& path);

  // Each throws InputError that names file, key and what is allowed.
  [[nodiscard]] bool has(const char* key) const;
  [[nodiscard]] std::string text(const char* key) const;
  [[nodiscard]] std::int64_t whole(const char* key) const;
  [[nodiscard]] bool flag(const char* key) const;
  /// nullopt where the key is missing.
  [[nodiscard]] std::optional<int> feed(const char* key) const;
  [[nodiscard]] std::vector<Property> properties(const char* key) const;
  [[nodiscard]] std::map<std::string, double> numbers(const char* key) const;
  /// The objects of a list, each as a file of its own; none where the key is
  /// missing.
  [[nodiscard]] std::vector<JsonFile> objects(const char* key) const;
  [[nodiscard]] double number(const char* key) const;
  /// The whole file but for one key, as JSON.
  [[nodiscard]] std::string without(const char* key) const;
  [[noreturn]] void refuse_key(const char* key, const char* allowed) const;

 private:
  JsonFile(std::string path, nlohmann::ordered_json json)
      : path_(std::move(path)), json_(std::move(json)) {}
  [[noreturn]] void refuse(const std::string& problem) const;

  std::string path_;
  nlohmann::ordered_json json_;
};

}  // namespace evenfeed
