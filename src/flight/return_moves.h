// SPDX-License-Identifier: MIT
// How what comes back answers to what a session leaves uncertain in all of its
// feeds alike. A return is seen by the same camera, flies through the same air
// and begins where its feed met the sample, so its values are off together with
// the others', which no number of returns averages out.
//
// Beside its flight p with residuals r(p, session, feed) an error of the
// session, and what that makes of the feed, moves r by dr and so
// p by -(J^T J)^-1 J^T dr.
#pragma once

#include "flight/joint_adjustment.h"
#include "flight/return_fit.h"
#include "flight/return_values.h"

#include <vector>

#include <Eigen/Core>

namespace evenfeed {

/// What the sightings of returns err alike, by stages of a tenth of a second
/// from the contact; the last one is of all that is later.
inline constexpr int kReturnStages = 8;

using ReturnColumn = Eigen::Matrix<double, kReturnValueCount, 1>;
/// A return's values, in file units, a column per cause: those of
/// JointAdjustment::common, then two for each of kReturnStages. NaN in the row
/// of a value that is not known.
using ReturnMoves = Eigen::Matrix<double, kReturnValueCount, Eigen::Dynamic>;

/// Of the returns that were measured and whose feed was adjusted. `options` as
/// fit_returns used them (options_of_returns); `camera` and the feeds as
/// `joint` left them.
[[nodiscard]] std::vector<ReturnMoves> moves_of_returns(
    const std::vector<FoundFeed>& found,
    const std::vector<ReturnFit>& returns,
    const JointAdjustment& joint,
    const CameraModel& camera,
    const FlightOptions& options,
    double net_x_m);

}  // namespace evenfeed
