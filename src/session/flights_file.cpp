// SPDX-License-Identifier: MIT
#include "session/flights_file.h"

#include "base/error.h"
#include "base/units.h"
#include "session/feeds_file.h"

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr int kTimeDecimals = 5;
constexpr int kPlaceDecimals = 1;

template <typename Find>
auto word(const CsvTable& table,
          std::size_t row,
          std::size_t column,
          const Find& find,
          const char* allowed) {
  const auto found = find(table.text(row, column));
  if (!found) {
    throw InputError(
        table.place(row, column),
        fmt::format("'{}' is none of {}", table.text(row, column), allowed),
        "Use flights.csv as 'evenfeed session' wrote it");
  }
  return *found;
}

}  // namespace

std::string flights_text(const std::vector<FlownFeed>& feeds) {
  CsvWriter csv(
      {"feed", "leg", "t_s", "x_mm", "y_mm", "z_mm", "u_px", "v_px", "mark"});
  for (const FlownFeed& feed : feeds) {
    for (const FlownPoint& point : feed.path) {
      const Eigen::Vector3d& x = point.x_in_table_m;
      csv.add_row({fmt::format("{}", feed.number),
                   std::string(leg_name(point.leg)),
                   csv_number(point.t_s, kTimeDecimals),
                   csv_number(mm_from_m(x.x()), kPlaceDecimals),
                   csv_number(mm_from_m(x.y()), kPlaceDecimals),
                   csv_number(mm_from_m(x.z()), kPlaceDecimals),
                   csv_number(point.film_px.x(), kPlaceDecimals),
                   csv_number(point.film_px.y(), kPlaceDecimals),
                   std::string(mark_name(point.mark))});
    }
  }
  return csv.text();
}

std::vector<FlownFeed> read_flights(const CsvTable& table) {
  const std::size_t feed = table.require_column("feed");
  const std::size_t leg = table.require_column("leg");
  const std::size_t mark = table.require_column("mark");
  const auto number = [&](std::size_t row, const char* name) {
    return table.require_number(row, table.require_column(name));
  };
  std::vector<FlownFeed> feeds;
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const int of = feed_number(table, row, feed);
    if (feeds.empty() || feeds.back().number != of) {
      feeds.emplace_back();
      feeds.back().number = of;
    }
    FlownPoint point;
    point.leg = word(table, row, leg, find_leg, "in, out, back");
    point.mark = word(
        table, row, mark, find_mark, "bounce, contact, highest, net, nothing");
    point.t_s = number(row, "t_s");
    point.x_in_table_m = {m_from_mm(number(row, "x_mm")),
                          m_from_mm(number(row, "y_mm")),
                          m_from_mm(number(row, "z_mm"))};
    point.film_px = {number(row, "u_px"), number(row, "v_px")};
    point.place_px = point.film_px;
    feeds.back().path.push_back(point);
  }
  return feeds;
}

}  // namespace evenfeed
