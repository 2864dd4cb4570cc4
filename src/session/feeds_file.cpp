// SPDX-License-Identifier: MIT
#include "session/feeds_file.h"

#include "base/error.h"
#include "base/whole_number.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <set>
#include <utility>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr std::array<std::pair<FeedStatus, std::string_view>, 3> kStatusNames{{
    {FeedStatus::kMeasured, "measured"},
    {FeedStatus::kExtrapolated, "extrapolated"},
    {FeedStatus::kUnmeasured, "unmeasured"},
}};

bool any_came_back(const std::vector<Feed>& feeds) {
  return std::any_of(feeds.begin(), feeds.end(), [](const Feed& feed) {
    return std::any_of(
        feed.returned.begin(), feed.returned.end(), [](const Measured& m) {
          return std::isfinite(m.value);
        });
  });
}

std::vector<std::string> header(bool with_returns) {
  std::vector<std::string> names{
      "feed", "t_launch_s", "t_bounce_s", "st_bounce_s"};
  for (const CharacteristicInfo& one : characteristics()) {
    names.emplace_back(one.column);
    names.emplace_back(one.sigma_column);
  }
  for (const ReturnValueInfo& one : return_values()) {
    if (!with_returns) break;
    names.emplace_back(one.column);
    names.emplace_back(one.sigma_column);
  }
  for (const char* name :
       {"rho_xy", "sightings", "rms_px", "timing", "status", "note"}) {
    names.emplace_back(name);
  }
  return names;
}

std::size_t at(ReturnValue id) { return static_cast<std::size_t>(id); }

// One row's cells by column name, with "not there" read as "not known".
class RowReader {
 public:
  RowReader(const CsvTable& table, std::size_t row)
      : table_(table), row_(row) {}

  double number(std::string_view name) const {
    const auto column = table_.column(name);
    const auto value = column ? table_.number(row_, *column) : std::nullopt;
    return value.value_or(std::numeric_limits<double>::quiet_NaN());
  }
  std::string text(std::string_view name) const {
    const auto column = table_.column(name);
    return column ? table_.text(row_, *column) : std::string();
  }
  FeedStatus status() const {
    const std::string name = text("status");
    if (const auto status = find_status(name)) return *status;
    if (name.empty()) return FeedStatus::kMeasured;
    throw InputError(table_.place(row_, *table_.column("status")),
                     fmt::format("'{}' is not a status", name),
                     "Allowed: measured, extrapolated, unmeasured");
  }

 private:
  const CsvTable& table_;
  std::size_t row_;
};

}  // namespace

std::string_view status_name(FeedStatus status) {
  return kStatusNames[static_cast<std::size_t>(status)].second;
}

std::optional<FeedStatus> find_status(std::string_view name) {
  for (const auto& [status, word] : kStatusNames) {
    if (word == name) return status;
  }
  return std::nullopt;
}

std::string feeds_text(const std::vector<Feed>& feeds) {
  const bool with_returns = any_came_back(feeds);
  CsvWriter out(header(with_returns));
  for (const Feed& feed : feeds) {
    std::vector<std::string> row{fmt::format("{}", feed.number),
                                 csv_number(feed.t_launch_s, 5),
                                 csv_number(feed.t_bounce_s, 5),
                                 csv_number(feed.st_bounce_s, 6)};
    for (const CharacteristicInfo& one : characteristics()) {
      const Measured& measured = feed[one.id];
      row.push_back(csv_number(measured.value, one.decimals));
      row.push_back(csv_number(measured.sigma, one.decimals + 1));
    }
    for (const ReturnValueInfo& one : return_values()) {
      if (!with_returns) break;
      const Measured& measured = feed.returned[at(one.id)];
      row.push_back(csv_number(measured.value, one.decimals));
      row.push_back(csv_number(measured.sigma, one.decimals + 1));
    }
    row.push_back(csv_number(feed.rho_xy, 3));
    row.push_back(fmt::format("{}", feed.sightings));
    row.push_back(csv_number(feed.rms_px, 3));
    row.push_back(feed.timing);
    row.emplace_back(status_name(feed.status));
    row.push_back(feed.note);
    out.add_row(row);
  }
  return out.text();
}

int feed_number(const CsvTable& table, std::size_t row, std::size_t column) {
  const double value = table.require_number(row, column);
  if (const auto number = whole_number(value)) return *number;
  throw InputError(table.place(row, column),
                   fmt::format("{} is not a whole number", value),
                   "Number the feeds 1, 2, 3, ...");
}

std::vector<Feed> read_feeds(const CsvTable& table) {
  const std::size_t feed_column = table.require_column("feed");
  std::vector<Feed> feeds;
  std::set<int> numbers;
  for (std::size_t r = 0; r < table.rows(); ++r) {
    const RowReader row(table, r);
    Feed feed;
    feed.number = feed_number(table, r, feed_column);
    if (!numbers.insert(feed.number).second) {
      throw InputError(table.place(r, feed_column),
                       fmt::format("feed {} stands twice", feed.number),
                       "Number the feeds 1, 2, 3, ...");
    }
    feed.t_launch_s = row.number("t_launch_s");
    feed.t_bounce_s = row.number("t_bounce_s");
    feed.st_bounce_s = row.number("st_bounce_s");
    for (const CharacteristicInfo& one : characteristics()) {
      feed[one.id] = {row.number(one.column), row.number(one.sigma_column)};
    }
    for (const ReturnValueInfo& one : return_values()) {
      feed.returned[at(one.id)] = {row.number(one.column),
                                   row.number(one.sigma_column)};
    }
    feed.rho_xy = row.number("rho_xy");
    feed.sightings = whole_number(row.number("sightings")).value_or(0);
    feed.rms_px = row.number("rms_px");
    if (table.column("timing")) feed.timing = row.text("timing");
    feed.status = row.status();
    feed.note = row.text("note");
    feeds.push_back(std::move(feed));
  }
  return feeds;
}

}  // namespace evenfeed
