// SPDX-License-Identifier: MIT
#include "geometry/sightings_file.h"

#include "base/error.h"

#include <cmath>
#include <limits>

#include <fmt/format.h>

namespace evenfeed {

std::string sightings_text(const std::vector<Sighting>& sightings) {
  CsvWriter out(
      {"t_s", "u_px", "v_px", "diameter_px", "s_px", "frame", "track"});
  for (const Sighting& s : sightings) {
    out.add_row({csv_number(s.t_s, 6),
                 csv_number(s.centre_px.x(), 4),
                 csv_number(s.centre_px.y(), 4),
                 csv_number(s.diameter_px, 3),
                 csv_number(s.sigma_px, 4),
                 s.frame >= 0 ? fmt::format("{}", s.frame) : "",
                 s.track >= 0 ? fmt::format("{}", s.track) : ""});
  }
  return out.text();
}

namespace {

// -1 where there is none.
int label(const CsvTable& table, std::size_t row, const char* name) {
  constexpr double kMost = 1e9;
  const auto column = table.column(name);
  const auto value = column ? table.number(row, *column) : std::nullopt;
  if (!value || !std::isfinite(*value)) return -1;
  if (*value < 0 || *value > kMost || *value != std::floor(*value)) {
    throw InputError(table.place(row, *column),
                     fmt::format("{} is not the number of a {}", *value, name),
                     "Write a whole number from 0 on or leave it empty");
  }
  return static_cast<int>(*value);
}

}  // namespace

std::vector<Sighting> read_sightings(const CsvTable& table, double sigma_px) {
  const auto t = table.require_column("t_s");
  const auto u = table.require_column("u_px");
  const auto v = table.require_column("v_px");
  const auto optional = [&](std::size_t row, const char* name) {
    const auto column = table.column(name);
    return (column ? table.number(row, *column) : std::nullopt)
        .value_or(std::numeric_limits<double>::quiet_NaN());
  };
  std::vector<Sighting> sightings;
  for (std::size_t r = 0; r < table.rows(); ++r) {
    Sighting s;
    s.t_s = table.require_number(r, t);
    s.centre_px = {table.require_number(r, u), table.require_number(r, v)};
    s.diameter_px = optional(r, "diameter_px");
    const double given = optional(r, "s_px");
    if (given <= 0) {
      throw InputError(table.place(r, *table.column("s_px")),
                       fmt::format("{} is not a standard deviation", given),
                       "Write a number above 0 or leave it empty");
    }
    s.sigma_px = std::isfinite(given) ? given : sigma_px;
    s.frame = label(table, r, "frame");
    s.track = label(table, r, "track");
    sightings.push_back(s);
  }
  return sightings;
}

}  // namespace evenfeed
