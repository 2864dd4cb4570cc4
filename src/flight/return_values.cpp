// SPDX-License-Identifier: MIT
#include "flight/return_values.h"

namespace evenfeed {

const std::array<ReturnValueInfo, kReturnValueCount>& return_values() {
  using enum ReturnValue;
  static constexpr std::array<ReturnValueInfo, kReturnValueCount> kAll{{
      {kSpeed, "ret_speed_mps", "s_ret_speed_mps", 4},
      {kAngle, "ret_angle_deg", "s_ret_angle_deg", 3},
      {kApex, "ret_apex_mm", "s_ret_apex_mm", 2},
      {kApexX, "ret_apex_x_mm", "s_ret_apex_x_mm", 2},
      {kNetHeight, "ret_net_height_mm", "s_ret_net_height_mm", 2},
      {kNetTime, "ret_t_net_s", "s_ret_t_net_s", 5},
      {kX, "ret_x_mm", "s_ret_x_mm", 2},
      {kY, "ret_y_mm", "s_ret_y_mm", 2},
  }};
  return kAll;
}

}  // namespace evenfeed
