// SPDX-License-Identifier: MIT
#include "flight/characteristics.h"

namespace evenfeed {

const std::array<CharacteristicInfo, kCharacteristicCount>& characteristics() {
  using enum Characteristic;
  static constexpr std::array<CharacteristicInfo, kCharacteristicCount> kAll{{
      {kX, "x_mm", "sx_mm", "mm", "landing along the table", 2},
      {kY, "y_mm", "sy_mm", "mm", "landing across the table", 2},
      {kVxIn, "vx_in_mps", "s_vx_in_mps", "m/s", "velocity along before", 4},
      {kVyIn, "vy_in_mps", "s_vy_in_mps", "m/s", "velocity across before", 4},
      {kVzIn, "vz_in_mps", "s_vz_in_mps", "m/s", "velocity up before", 4},
      {kVxOut, "vx_out_mps", "s_vx_out_mps", "m/s", "velocity along after", 4},
      {kVyOut, "vy_out_mps", "s_vy_out_mps", "m/s", "velocity across after", 4},
      {kVzOut, "vz_out_mps", "s_vz_out_mps", "m/s", "velocity up after", 4},
      {kSpeedIn,
       "speed_in_mps",
       "s_speed_in_mps",
       "m/s",
       "speed at the bounce",
       4},
      {kHeading, "heading_deg", "s_heading_deg", "deg", "heading", 3},
      {kDescent, "descent_deg", "s_descent_deg", "deg", "descent angle", 3},
      {kKick, "kick", "s_kick", "", "kick off the bounce", 4},
      {kTurn, "turn_deg", "s_turn_deg", "deg", "turn at the bounce", 3},
      {kFlightTime,
       "flight_time_s",
       "s_flight_time_s",
       "s",
       "time from launcher to bounce",
       5},
      {kContactTime, "t_contact_s", "s_t_contact_s", "s", "time of contact", 5},
      {kContactY,
       "contact_y_mm",
       "s_contact_y_mm",
       "mm",
       "contact across the sample",
       2},
      {kContactZ,
       "contact_z_mm",
       "s_contact_z_mm",
       "mm",
       "contact height on the sample",
       2},
      {kPathLength,
       "path_length_mm",
       "s_path_length_mm",
       "mm",
       "path from launcher to contact",
       1},
  }};
  return kAll;
}

const CharacteristicInfo& info(Characteristic id) {
  return characteristics()[static_cast<std::size_t>(id)];
}

std::optional<Characteristic> find_characteristic(std::string_view column) {
  for (const CharacteristicInfo& one : characteristics()) {
    if (one.column == column) return one.id;
  }
  return std::nullopt;
}

}  // namespace evenfeed
