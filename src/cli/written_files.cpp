// SPDX-License-Identifier: MIT
#include "cli/written_files.h"

#include "cli/job_files.h"
#include "session/json_text.h"

#include <algorithm>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace evenfeed {
namespace {

using Json = nlohmann::ordered_json;

std::vector<WrittenFile> on_the_disk(const std::vector<WrittenFile>& files) {
  std::vector<WrittenFile> kept;
  for (const WrittenFile& one : files) {
    if (!one.path.empty() && !is_standard_stream(one.path)) kept.push_back(one);
  }
  return kept;
}

}  // namespace

std::string words_with_written(std::string words,
                               const std::vector<WrittenFile>& files) {
  const std::vector<WrittenFile> kept = on_the_disk(files);
  if (kept.empty()) return words;
  std::size_t width = 0;
  for (const WrittenFile& one : kept) {
    width = std::max(width, one.path.string().size());
  }
  if (!words.empty()) words += "\n";
  words += "written:\n";
  for (const WrittenFile& one : kept) {
    words += fmt::format("  {:<{}}  {}\n", one.path.string(), width, one.what);
  }
  return words;
}

std::string json_with_written(std::string_view json,
                              const std::vector<WrittenFile>& files) {
  const std::vector<WrittenFile> kept = on_the_disk(files);
  if (kept.empty()) return std::string(json);
  Json all = Json::parse(json);
  Json names = Json::array();
  for (const WrittenFile& one : kept) names.push_back(one.path.string());
  all["written"] = std::move(names);
  return json_text(all);
}

}  // namespace evenfeed
