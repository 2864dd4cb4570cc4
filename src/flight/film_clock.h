// SPDX-License-Identifier: MIT
// How fast a film plays beside how fast it was taken, as its feeds tell it.
//
// A program that cuts or converts a film may change its speed (24 pictures a
// second shown at 25 are 4 % faster), and nothing in the picture shows it: all
// speeds are off by as much, and gravity by twice that, which lifts and
// bounces of another size explain nearly as well. So the clock is no unknown of
// the adjustment. It is considered (Schmidt 1966; Bierman 1977, "Factorization
// methods for discrete sequential estimation", chapter VIII): the film is taken
// at its word, and what a clock that is off would have done stands in what is
// uncertain in all feeds alike.
//
// With s = log(how many times slower it plays) beside the session's unknowns z
// (unit normal before) the reduced normal equations say
//
//   (diag(I, 0) + D) (dz, s) = W r - (z, 0)
//
// D, W of common_errors.h. Its solution is what gravity tells of s.
#pragma once

#include "flight/common_errors.h"
#include "flight/flight_options.h"

namespace evenfeed {

/// Unknowns of a session and, last, the film's clock.
inline constexpr int kWithClock = kSessionParameters + 1;
using ClockSquare = Eigen::Matrix<double, kWithClock, kWithClock>;
using ClockVector = Eigen::Matrix<double, kWithClock, 1>;

/// The reduced normal equations of all feeds, the clock's beside the others.
struct ClockEquations {
  ClockSquare information = ClockSquare::Zero();  ///< S
  ClockVector pull = ClockVector::Zero();         ///< r
  StageAnswers<kWithClock> answers;
};

struct FilmClock {
  /// log(slower) as gravity alone tells it; sd infinite when it does not.
  Prior told{0, 0};
  /// What is left to be believed of it: rms about the film's own clock. 0 when
  /// the clock is known.
  double off = 0;
};

/// What the feeds tell of a clock that may be off by `believed_sd` (of the
/// logarithm; 0: it is known). `z`: the session's unknowns where the equations
/// were set up.
[[nodiscard]] FilmClock film_clock(const ClockEquations& equations,
                                   const SessionVector& z,
                                   double common_error_px,
                                   double believed_sd);

}  // namespace evenfeed
