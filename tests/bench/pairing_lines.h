// SPDX-License-Identifier: MIT
// What the intervals of 'pairing' are tried on: two invented samples a line.
#pragma once

#include <vector>

namespace evenfeed {

// Standard uncertainty of a characteristic in sd of the feed.
inline constexpr double kMeasured = 0.1;

struct Line {
  const char* name = "";
  int feeds_a = 150;
  int feeds_b = 150;
  double shift = 0;    // of length and speed of B, in sd
  bool drift = false;  // the shift comes bit by bit, all of A before all of B
  double measured = kMeasured;
  double curved = 0;   // of the feed's part, per sd squared
  double scatter = 1;  // of B's outcome beside A's
  double heavy = 0;    // degrees of freedom of the outcome's scatter; 0: normal
  double yes = 0;      // yes/no: share at the mean feed; 0: a number
  double follows = 1;  // how far the logit of yes follows the feed
  double calipers = 1;  // sd
  // Two films: sd of a film's error in speed; a fifth of it in the others.
  double films = 0;
  // What films of one bench are off by together, in speed; half of it in
  // length and descent. The second film answers to it 5 % less.
  double together = 0;
  double outcome_films = 0;  // sd of a film's error in the outcome
  double truth = 0;
};

std::vector<Line> lines();

}  // namespace evenfeed
