// SPDX-License-Identifier: MIT
// How much wider limits for single values have to be when values have the
// tails of Student's t instead of the normal ones, at the same standard
// deviation: the ratio of the two quantiles. For a squared distance of p
// characteristics that share one scale, with v degrees of freedom,
//   (v - 2)/v * p F(p, v) / chi^2(p)   at the same tail
// (the squared distance of a multivariate t is p F(p, v): Kotz and Nadarajah
// 2004, Multivariate t Distributions and Their Applications).
// A few dozen feeds do not tell v, so that it is a belief that they may change:
// Mardia's kurtosis, p (p + 2) for normal values and (v - 2)/(v - 4) times that
// for t, as the mean of the feeds' own and of what is believed.
#pragma once

#include <limits>

#include <Eigen/Core>

namespace evenfeed {

inline constexpr double kNormalTails = std::numeric_limits<double>::infinity();

/// Of squared distances; `degrees` > 2, infinite: 1.
double heavy_tail_factor(int p, double degrees, double tail);

/// Degrees of freedom (above 4) from the rows' kurtosis about their own mean
/// and covariance and from those believed, which count for as many rows as
/// `weight` says. `believed` with fewer rows than columns + 2.
double degrees_from_kurtosis(const Eigen::MatrixXd& rows,
                             double believed,
                             double weight);

}  // namespace evenfeed
