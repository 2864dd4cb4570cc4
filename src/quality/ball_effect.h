// SPDX-License-Identifier: MIT
// Is it the ball? When the feeds name their balls (column `ball`: numbers or
// colours), the variance of each characteristic is split into that between
// balls, the launcher's own, and the measurement's, and a ball that is off is
// named.
//
// One-way random model by restricted likelihood (stats/variance_components.h):
// between = ball; within = launcher + gauge, where gauge is the mean squared
// standard uncertainty of the feeds, if they have one. Interval of the ball's
// variance: that of Williams (1962, Biometrika 49:278) and Tukey for groups of
// nearly one size n0, from the mean squares; of the launcher's, chi-squared
// with N - groups degrees of freedom, less the gauge's. A ball is off when its
// mean differs from that of all other balls by more than chance allows (t
// test, 1 % shared among balls and characteristics); the furthest is named and
// set aside first. Names are given only when more than half of the balls are
// left and agree: of two that differ nobody knows which is off. The balls are
// the only groups here: what else changes along with them counts as theirs,
// what changes across them (two wheels, say) as the launcher's.
#pragma once

#include "quality/trial_table.h"

#include <limits>
#include <string>
#include <vector>

namespace evenfeed {

/// An sd with its 95 % interval; NaN: not known.
struct SdInterval {
  double sd = std::numeric_limits<double>::quiet_NaN();
  double low = std::numeric_limits<double>::quiet_NaN();
  double high = std::numeric_limits<double>::quiet_NaN();
};

struct BallOff {
  std::string ball;
  int feeds = 0;
  double difference =
      0;  ///< of its mean from that of all balls not named before
};

struct BallEffect {
  std::string characteristic;
  int balls = 0;
  int feeds = 0;
  SdInterval ball;
  SdInterval launcher;
  double gauge_sd = std::numeric_limits<double>::quiet_NaN();
  double probability = 1;  ///< of so much between balls when all are alike
  double range = 0;        ///< of the balls' means
  /// More differ than chance allows, but most do not agree: `off` is empty.
  bool scattered = false;
  std::vector<BallOff> off;
};

/// Per characteristic, from the rows with `use` that name their ball. Empty
/// without a second ball or without a ball that was fed twice.
std::vector<BallEffect> ball_effects(const TrialTable& table,
                                     const std::vector<bool>& use);

/// Plain words for the screen and the warnings: one line per ball that is off,
/// or that the balls differ.
std::vector<std::string> ball_warnings(const std::vector<BallEffect>& effects);

}  // namespace evenfeed
