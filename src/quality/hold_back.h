// SPDX-License-Identifier: MIT
// What stands between a launcher and "ready".
#pragma once

#include <string>

namespace evenfeed {

enum class HoldBackKind {
  kTooFew,          ///< too few measured feeds to tell
  kMoving,          ///< the mean moves, for certain
  kDriftUnknown,    ///< drift within the tolerance has not been shown yet
  kSpreadWide,      ///< the spread is above its tolerance
  kSpreadUnknown,   ///< spread within the tolerance has not been shown yet
  kSpreadChanging,  ///< the second half spreads otherwise than the first
  kSwings,          ///< the mean goes up and down by more than the tolerance
};

/// One thing that stands between the launcher and "ready".
struct HoldBack {
  HoldBackKind kind = HoldBackKind::kTooFew;
  int characteristic = -1;  ///< index, -1 for none in particular
  double value = 0;         ///< in the characteristic's unit
  double limit = 0;
  int more_feeds = 0;  ///< estimate; 0: no telling
  std::string text;    ///< plain words
};

}  // namespace evenfeed
