// SPDX-License-Identifier: MIT
// What a sample does with a feed, as numbers: the flight that comes back. The
// one list that files and the store share; units are those of files.
#pragma once

#include <array>
#include <string_view>

namespace evenfeed {

enum class ReturnValue {
  kSpeed,      ///< just after the contact
  kAngle,      ///< of that velocity above the horizontal
  kApex,       ///< the ball's centre above the table, where it is highest
  kApexX,      ///< where along the table that is
  kNetHeight,  ///< the ball's centre above the table as it passes the net
  kNetTime,    ///< from the contact to the net's plane
  kX,          ///< where it lands
  kY,
};
inline constexpr int kReturnValueCount = 8;

struct ReturnValueInfo {
  ReturnValue id;
  std::string_view column;        ///< its column in feeds.csv
  std::string_view sigma_column;  ///< the column of its standard uncertainty
  int decimals;                   ///< in files
};

/// Every value of a return, in the order of the columns.
const std::array<ReturnValueInfo, kReturnValueCount>& return_values();

}  // namespace evenfeed
