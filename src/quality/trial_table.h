// SPDX-License-Identifier: MIT
// The feeds of one trial as a matrix: a row per feed in order of time, a
// column per judged characteristic, NaN where a value is not known.
#pragma once

#include "base/csv.h"
#include "quality/words.h"

#include <string>
#include <vector>

#include <Eigen/Core>

namespace evenfeed {

struct TrialTable {
  std::vector<int> feeds;                    ///< numbers, increasing
  std::vector<std::string> characteristics;  ///< column names
  Eigen::MatrixXd values;                    ///< NaN: not known
  Eigen::MatrixXd sigmas;  ///< standard uncertainties; NaN: not given
  std::vector<std::string> unmeasured;  ///< per feed: why, empty if measured
  std::vector<std::string> balls;     ///< per feed, empty if not named; or none
  std::vector<std::string> warnings;  ///< what was left out, and why

  int rows() const { return static_cast<int>(feeds.size()); }
  int columns() const { return static_cast<int>(characteristics.size()); }
};

/// Judged when nothing else is asked for: landing point, speed, descent.
const std::vector<std::string>& default_characteristics();

/// Whether a column that was asked for must be there.
enum class Wanted { kRequired, kIfPresent };

/// Whether feed numbers without a row are worth a warning. A part of a file
/// has them by its nature.
enum class Gaps { kTell, kExpected };

/// Picks the judged columns from any CSV with a column `feed`: those of
/// `wanted` (empty: the default list, as far as present) that hold a value in
/// half of the measured rows or more and are not constant. A column `ball`, of
/// numbers or colours, is kept as text. Rows of status
/// `unmeasured` keep their place and hold NaN. Throws InputError: no column
/// `feed`, feed numbers not whole or not increasing, a required column
/// missing, nothing left to judge, a status nobody knows, a negative
/// uncertainty, times that go back. Throws UsageError: a column wanted twice,
/// or `feed`.
TrialTable read_trial(const CsvTable& table,
                      const std::vector<std::string>& wanted = {},
                      Wanted how = Wanted::kRequired,
                      Gaps gaps = Gaps::kTell);

}  // namespace evenfeed
