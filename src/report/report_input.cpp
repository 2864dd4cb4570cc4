// SPDX-License-Identifier: MIT
#include "report/report_input.h"

#include "base/atomic_file.h"
#include "base/csv.h"
#include "base/error.h"
#include "report/summary_reader.h"
#include "session/feeds_file.h"
#include "session/flights_file.h"
#include "session/json_file.h"
#include "session/session_folder.h"
#include "session/tagged_file.h"

#include <string_view>
#include <utility>

namespace evenfeed {
namespace {

namespace fs = std::filesystem;

std::vector<std::string> split_reasons(std::string_view text) {
  std::vector<std::string> parts;
  while (!text.empty()) {
    const std::size_t end = text.find(';');
    std::string_view part = text.substr(0, end);
    const std::size_t first = part.find_first_not_of(' ');
    if (first != std::string_view::npos) {
      part = part.substr(first, part.find_last_not_of(' ') - first + 1);
      parts.emplace_back(part);
    }
    if (end == std::string_view::npos) break;
    text.remove_prefix(end + 1);
  }
  return parts;
}

std::vector<JudgedFeed> judged_feeds(std::vector<TaggedFeed> tagged) {
  std::vector<JudgedFeed> judged;
  for (TaggedFeed& one : tagged) {
    judged.push_back({std::move(one.feed),
                      std::move(one.phase),
                      std::move(one.verdict),
                      split_reasons(one.reasons)});
  }
  return judged;
}

std::vector<JudgedFeed> plain_feeds(const CsvTable& table) {
  std::vector<JudgedFeed> plain;
  for (Feed& feed : read_feeds(table)) {
    plain.push_back({std::move(feed), {}, {}, {}});
  }
  return plain;
}

// One that is no JPEG, or too large for a page of many, is left out.
void read_pictures(const fs::path& folder, ReportInput& input) {
  constexpr std::uintmax_t kMostBytes = 200'000;
  std::error_code none;
  for (const JudgedFeed& one : input.feeds) {
    const fs::path file = folder / feed_picture(one.feed.number);
    if (!fs::is_regular_file(file, none)) continue;
    if (fs::file_size(file, none) > kMostBytes || none) continue;
    std::string bytes = read_file(file);
    if (!bytes.starts_with("\xFF\xD8\xFF")) continue;
    input.pictures[one.feed.number] = std::move(bytes);
  }
}

// A page of 500 feeds is to open at once, and to be below 10 MB. Of kept feeds,
// of which there are many alike, as many are left out, all over the session.
void leave_room(ReportInput& input) {
  constexpr std::size_t kMostBytes = 5'000'000;
  std::size_t bytes = 0;
  for (const auto& [feed, picture] : input.pictures) bytes += picture.size();
  std::vector<int> kept;
  for (const JudgedFeed& one : input.feeds) {
    const int feed = one.feed.number;
    if (one.verdict == "keep" && input.pictures.contains(feed)) {
      kept.push_back(feed);
    }
  }
  // Every second one, then every second one of what is left.
  for (std::size_t step = 2; bytes > kMostBytes && step <= 2 * kept.size();
       step *= 2) {
    for (std::size_t i = step / 2; i < kept.size(); i += step) {
      if (bytes <= kMostBytes) return;
      const auto found = input.pictures.find(kept[i]);
      bytes -= found->second.size();
      input.pictures.erase(found);
      ++input.pictures_left_out;
    }
  }
}

}  // namespace

ReportInput load_report_input(const fs::path& folder) {
  std::error_code none;
  if (!fs::is_directory(folder, none)) {
    throw InputError(folder.string(),
                     "there is no such folder",
                     "Give the folder that 'evenfeed session' wrote");
  }
  ReportInput input;
  input.title = fs::weakly_canonical(folder, none).filename().string();
  const fs::path tagged = folder / "tagged.csv";
  const fs::path plain = folder / "feeds.csv";
  const fs::path summary = folder / "summary.json";
  for (const char* name : kSessionFiles) require_file_if_there(folder / name);
  const bool has_tagged = fs::exists(tagged, none);
  if (!has_tagged && !fs::exists(plain, none)) {
    throw InputError(folder.string(),
                     "holds neither tagged.csv nor feeds.csv",
                     "Run 'evenfeed session' or 'evenfeed measure' into it "
                     "first");
  }
  if (fs::exists(folder / "bench.toml", none)) {
    input.bench = load_bench(folder / "bench.toml");
  }
  const CsvTable table = CsvTable::read(has_tagged ? tagged : plain);
  input.feeds =
      has_tagged ? judged_feeds(read_tagged(table)) : plain_feeds(table);
  if (fs::exists(summary, none)) {
    read_summary(read_file(summary), summary.string(), input);
    input.judged = has_tagged;
  }
  if (fs::exists(folder / "session.json", none)) {
    input.alike =
        JsonFile(folder / "session.json").numbers("shared_uncertainty");
  }
  input.flights = folder_flights(folder);
  read_pictures(folder, input);
  leave_room(input);
  return input;
}

bool may_be_used(const ReportInput& input, const JudgedFeed& one) {
  return !input.judged || one.verdict == "keep";
}

ReportInput report_input_of(const SessionRecord& record,
                            const std::string& name) {
  ReportInput input;
  input.title = name;
  input.provenance.head = record.head;
  input.provenance.settings = record.settings;
  input.provenance.sample_properties = record.sample_properties;
  if (!record.bench_text.empty()) {
    input.bench = parse_bench(record.bench_text, name + ", bench");
  }
  input.feeds = judged_feeds(record.feeds);
  if (!record.summary_text.empty()) {
    read_summary(record.summary_text, name + ", summary", input);
    input.judged = true;
  }
  return input;
}

}  // namespace evenfeed
