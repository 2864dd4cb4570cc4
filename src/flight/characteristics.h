// SPDX-License-Identifier: MIT
// What a feed is, as numbers: the one list of characteristics that files,
// charts and reports share. Units are those of files (mm, m/s, degrees).
#pragma once

#include <array>
#include <limits>
#include <optional>
#include <string_view>

namespace evenfeed {

enum class Characteristic {
  kX,
  kY,
  kVxIn,
  kVyIn,
  kVzIn,
  kVxOut,
  kVyOut,
  kVzOut,
  kSpeedIn,
  kHeading,
  kDescent,
  kKick,
  kTurn,
  kFlightTime,
  kContactTime,
  kContactY,
  kContactZ,
  kPathLength,
};
inline constexpr int kCharacteristicCount = 18;

struct CharacteristicInfo {
  Characteristic id;
  std::string_view column;        ///< its column in feeds.csv
  std::string_view sigma_column;  ///< the column of its standard uncertainty
  std::string_view unit;          ///< empty for a ratio
  std::string_view words;         ///< for people: "landing along the table"
  int decimals;                   ///< in files
};

/// Every characteristic, in the order of the columns.
const std::array<CharacteristicInfo, kCharacteristicCount>& characteristics();
const CharacteristicInfo& info(Characteristic id);
/// By column name; nullopt for a name that is not one.
[[nodiscard]] std::optional<Characteristic> find_characteristic(
    std::string_view column);

/// A value and its standard uncertainty; both NaN when not known.
struct Measured {
  double value = std::numeric_limits<double>::quiet_NaN();
  double sigma = std::numeric_limits<double>::quiet_NaN();
};

}  // namespace evenfeed
