// SPDX-License-Identifier: MIT
#include "cli/wanted_pairs.h"

#include "base/csv.h"
#include "base/error.h"
#include "base/whole_number.h"

#include <algorithm>
#include <charconv>
#include <limits>
#include <optional>
#include <string_view>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr std::size_t kClosest = 3;

struct MatchedRow {
  WantedPair feeds;
  double distance = std::numeric_limits<double>::infinity();
};

int matched_feed(const CsvTable& table, std::size_t row, std::size_t column) {
  const auto feed = whole_number(table.require_number(row, column));
  if (feed && *feed >= 1) return *feed;
  throw InputError(table.place(row, column),
                   "this is not the number of a feed",
                   "Give the pairs.csv that 'evenfeed pair' wrote");
}

std::vector<MatchedRow> rows_of(const std::filesystem::path& file) {
  const CsvTable table = CsvTable::read(file);
  const std::size_t a = table.require_column("a_feed");
  const std::size_t b = table.require_column("b_feed");
  const auto distance = table.column("distance");
  std::vector<MatchedRow> rows;
  for (std::size_t r = 0; r < table.rows(); ++r) {
    MatchedRow row;
    row.feeds = {matched_feed(table, r, a), matched_feed(table, r, b)};
    if (distance) {
      row.distance = table.number(r, *distance).value_or(row.distance);
    }
    rows.push_back(row);
  }
  if (rows.empty()) {
    throw InputError(file.string(),
                     "there are no pairs in it",
                     "Give the pairs.csv of samples that could be matched");
  }
  return rows;
}

std::optional<int> whole(std::string_view word) {
  int value = 0;
  const char* end = word.data() + word.size();
  const auto read = std::from_chars(word.data(), end, value);
  if (read.ec != std::errc() || read.ptr != end || value < 1) {
    return std::nullopt;
  }
  return value;
}

[[noreturn]] void no_pair(const std::string& word) {
  throw UsageError(
      fmt::format("--pairs {}: allowed are rows of pairs.csv, as 3,7, or two "
                  "feeds of which each sample got one, as 12+21",
                  word));
}

std::optional<WantedPair> two_feeds(const std::string& word) {
  const std::size_t plus = word.find('+');
  if (plus == std::string::npos) return std::nullopt;
  const auto a = whole(std::string_view(word).substr(0, plus));
  const auto b = whole(std::string_view(word).substr(plus + 1));
  if (!a || !b) no_pair(word);
  return WantedPair{*a, *b};
}

WantedPair pair_of(const std::string& word,
                   const std::filesystem::path& file,
                   const std::vector<MatchedRow>& rows) {
  if (const auto feeds = two_feeds(word)) {
    const bool there =
        rows.empty() ||
        std::any_of(rows.begin(), rows.end(), [&](const MatchedRow& row) {
          return row.feeds.a == feeds->a && row.feeds.b == feeds->b;
        });
    if (there) return *feeds;
    throw InputError(
        fmt::format("--pairs {}", word),
        fmt::format("these two feeds are not a pair in {}", file.string()),
        "Take a row of it, or leave out --matched to lay two "
        "feeds over each other that were not matched");
  }
  const auto number = whole(word);
  if (!number) no_pair(word);
  if (static_cast<std::size_t>(*number) <= rows.size()) {
    return rows[static_cast<std::size_t>(*number) - 1].feeds;
  }
  throw InputError(fmt::format("--pairs {}", word),
                   fmt::format("there is no such pair in {}", file.string()),
                   fmt::format("Its pairs are 1 to {}", rows.size()));
}

std::vector<WantedPair> closest(std::vector<MatchedRow> rows) {
  std::stable_sort(
      rows.begin(), rows.end(), [](const MatchedRow& x, const MatchedRow& y) {
        return x.distance < y.distance;
      });
  std::vector<WantedPair> pairs;
  for (const MatchedRow& row : rows) {
    if (pairs.size() < kClosest) pairs.push_back(row.feeds);
  }
  return pairs;
}

}  // namespace

std::vector<WantedPair> wanted_pairs(const std::filesystem::path& file,
                                     const std::vector<std::string>& words) {
  if (file.empty()) {
    for (const std::string& word : words) {
      if (two_feeds(word)) continue;
      if (!whole(word)) no_pair(word);
      throw UsageError(fmt::format(
          "--pairs {}: rows are those of a file; say which with --matched",
          word));
    }
    if (words.empty()) {
      throw UsageError(
          "which pairs? Give pairs.csv with --matched, or two feeds as "
          "--pairs 12+21");
    }
  }
  const std::vector<MatchedRow> rows =
      file.empty() ? std::vector<MatchedRow>() : rows_of(file);
  if (words.empty()) return closest(rows);
  std::vector<WantedPair> pairs;
  for (const std::string& word : words) {
    pairs.push_back(pair_of(word, file, rows));
  }
  return pairs;
}

}  // namespace evenfeed
