// SPDX-License-Identifier: MIT
// What a session leaves uncertain in all of its feeds alike, by cause. Another
// film with the same ball, launcher, camera or sample errs by the same causes,
// so what the two are apart by is less than what each is off by.
//
// An error of a session's unknowns moves feed i's characteristics by J_i R_i u,
// with u the causes in sd of what was believed of them (joint_adjustment.h) and
// J_i the derivatives of the characteristics. Of all feeds together it moves
// the mean by the mean of J_i R_i, a column per cause.
//
// What sightings err alike (shading, compression, what is left of the lens) is
// the camera's where it stands, as far as light and background stay: of two
// films seen by the same bench it may differ by three tenths (the errors of two
// rendered films differed by less; no source).
#pragma once

#include "flight/characteristics.h"
#include "flight/derive_feed.h"
#include "flight/joint_adjustment.h"
#include "flight/return_moves.h"

#include <array>
#include <string>
#include <string_view>
#include <vector>

namespace evenfeed {

/// Whose it is: where that is the same in two films, so is the error.
enum class CauseOf { kBalls, kLauncher, kCamera, kSample, kFilm };

/// The cause that moves what comes back as well.
inline constexpr std::string_view kFilmsClock = "film's clock";

struct CommonCause {
  std::string name;
  CauseOf of = CauseOf::kFilm;
  Prior believed{0, 1};  ///< before the film was seen
  double spread = 0;     ///< of it from feed to feed
  /// How far the mean of each characteristic is off, in file units, when what
  /// was believed is one sd off; 0 where a characteristic is not known.
  std::array<double, kCharacteristicCount> moves{};
  /// The same of what comes back, by ReturnValue.
  std::array<double, kReturnValueCount> moves_returned{};
};

struct CommonErrors {
  /// Standard uncertainty by characteristic, rms over the feeds; NaN: not
  /// known.
  std::array<double, kCharacteristicCount> sigma{};
  std::array<double, kReturnValueCount> sigma_returned{};
  double st_bounce_s = 0;  ///< the same of the time of the bounce
  std::vector<CommonCause> causes;
  /// Of the logarithm of the film's speed: all speeds and durations are off by
  /// as much, those of returns too; 0: its clock is known.
  double clock = 0;
};

/// `joint` must be done; `returns` are those of its feeds that came back.
[[nodiscard]] CommonErrors common_errors_of(
    const JointAdjustment& joint,
    const FlightOptions& options,
    const FeedEnds& ends,
    const std::vector<ReturnMoves>& returns);

}  // namespace evenfeed
