// SPDX-License-Identifier: MIT
// What the sightings of all feeds are off by alike at one stage of the flight:
// the ball's shading, the film's compression, what is left of the lens, forces
// the model leaves out. The mean of many feeds is no better than that, so it
// limits what a session can tell about what its feeds share.
//
// The session's unknowns z are told by the feeds through S dz = r, their
// reduced normal equations. An error c of sd sigma_c for each tenth of a second
// from the bounce and each axis of the picture adds G c to r. Then S^-1 r has
// the covariance S^-1 (S + M) S^-1, M = sigma_c^2 G G^T, and what the feeds say
// counts with the information S (S + M)^-1 S (generalised least squares: Aitken
// 1935).
#pragma once

#include "flight/flight_model.h"
#include "flight/session_terms.h"

#include <map>

#include <Eigen/Core>

namespace evenfeed {

/// How one feed's normal equations answer to an error of its sightings, by the
/// stage of the flight they belong to; one column per axis of the picture.
struct ErrorResponse {
  Eigen::Matrix<double, kFlightParameters, 2> own =
      Eigen::Matrix<double, kFlightParameters, 2>::Zero();
  Eigen::Matrix<double, kSessionParameters, 2> shared =
      Eigen::Matrix<double, kSessionParameters, 2>::Zero();
};
using ErrorResponses = std::map<int, ErrorResponse>;

/// The stage of the flight so long after the bounce (before it: negative).
int flight_stage(double after_bounce_s);

/// The answers of N reduced normal equations, by stage.
template <int N>
using StageAnswers = std::map<int, Eigen::Matrix<double, N, 2>>;

/// What the feeds say, once the errors they have in common are allowed for.
template <int N>
struct AllowedInformation {
  Eigen::Matrix<double, N, N> data;    ///< S (S + M)^-1 S
  Eigen::Matrix<double, N, N> weight;  ///< S (S + M)^-1: what is left of r
};
/// Of a session's unknowns, and of them with the film's clock beside them.
template <int N>
[[nodiscard]] AllowedInformation<N> with_common_errors(
    const Eigen::Matrix<double, N, N>& information,
    const StageAnswers<N>& answers,
    double common_error_px);

using SharedResponses = StageAnswers<kSessionParameters>;
using SharedInformation = AllowedInformation<kSessionParameters>;

}  // namespace evenfeed
