// SPDX-License-Identifier: MIT
// How much sessions that follow each other are alike beyond what the model says
// of them: lag-1 autocorrelation of residuals as far as it is larger than one
// standard error, less the bias of so many unknowns (to first order, a mean's
// is
// -(1 + 4 r)/n). 0: no more than chance allows.
#pragma once

#include <vector>

namespace evenfeed {

/// Residuals in order of time; NaN: does not count.
[[nodiscard]] double session_memory(const std::vector<double>& residuals,
                                    int unknowns);

/// The larger of what the mean of each set-up says about the next one's (only
/// `between_setups`: where set-ups scatter), in the order they began, and each
/// session about the next of its set-up. What the set-ups' means take off the
/// latter is allowed for: that memory is told by which so much is expected to
/// be seen.
[[nodiscard]] double setup_memory(const std::vector<double>& residuals,
                                  const std::vector<int>& setups,
                                  bool between_setups,
                                  int unknowns);

}  // namespace evenfeed
