// SPDX-License-Identifier: MIT
#include "flight/return_values.h"

namespace evenfeed {

const std::array<ReturnValueInfo, kReturnValueCount>& return_values() {
  using enum ReturnValue;
  static constexpr std::array<ReturnValueInfo, kReturnValueCount> kAll{{
      {kSpeed, "ret_speed_mps", "s_ret_speed_mps", "m/s", "return speed", 4},
      {kAngle, "ret_angle_deg", "s_ret_angle_deg", "deg", "return angle", 3},
      {kApex,
       "ret_apex_mm",
       "s_ret_apex_mm",
       "mm",
       "highest point of the return",
       2},
      {kApexX,
       "ret_apex_x_mm",
       "s_ret_apex_x_mm",
       "mm",
       "place of the return's highest point",
       2},
      {kNetHeight,
       "ret_net_height_mm",
       "s_ret_net_height_mm",
       "mm",
       "height of the return at the net",
       2},
      {kNetTime,
       "ret_t_net_s",
       "s_ret_t_net_s",
       "s",
       "time from contact to net",
       5},
      {kX, "ret_x_mm", "s_ret_x_mm", "mm", "return landing along the table", 2},
      {kY,
       "ret_y_mm",
       "s_ret_y_mm",
       "mm",
       "return landing across the table",
       2},
  }};
  return kAll;
}

}  // namespace evenfeed
