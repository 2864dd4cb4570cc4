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
  const std::size_t t = table.require_column("t_s");
  const std::size_t x = table.require_column("x_mm");
  const std::size_t y = table.require_column("y_mm");
  const std::size_t z = table.require_column("z_mm");
  const std::size_t u = table.require_column("u_px");
  const std::size_t v = table.require_column("v_px");
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
    point.t_s = table.require_number(row, t);
    point.x_in_table_m = {m_from_mm(table.require_number(row, x)),
                          m_from_mm(table.require_number(row, y)),
                          m_from_mm(table.require_number(row, z))};
    point.film_px = {table.require_number(row, u),
                     table.require_number(row, v)};
    point.place_px = point.film_px;
    feeds.back().path.push_back(point);
  }
  return feeds;
}

std::vector<FlownFeed> folder_flights(const std::filesystem::path& folder) {
  const std::filesystem::path file = folder / "flights.csv";
  std::error_code none;
  if (!std::filesystem::exists(file, none)) return {};
  return read_flights(CsvTable::read(file));
}

}  // namespace evenfeed
