// SPDX-License-Identifier: MIT
// How much of a difference between two films' feeds is the launcher's, and how
// much the films'.
//
// Films of their own are each off by something in all of their feeds alike
// (calibration, air, spin), with the covariance D in their difference. A
// launcher runs a little differently from film to film too; the prior for it is
// a covariance P = (sd)^2 L, L the launcher's own covariance from feed to feed.
// Of a measured difference d the launcher made K d, K = P (P + D)^-1, known to
// the covariance P - K P (the mean and covariance of a normal given a normal
// reading of it: Gelman et al. 2013, Bayesian Data Analysis, 3.5). A
// characteristic the films do not know counts as not moved, and how much it may
// have moved stays in the covariance.
#pragma once

#include <Eigen/Core>

namespace evenfeed {

struct FilmShift {
  Eigen::MatrixXd launcher;    ///< K; the identity for one film
  Eigen::MatrixXd covariance;  ///< P - K P; 0 for one film
};

/// `films`: D, 0 for one film. `launcher_spread`: L, positive definite.
[[nodiscard]] FilmShift film_shift(const Eigen::MatrixXd& films,
                                   const Eigen::MatrixXd& launcher_spread,
                                   double launcher_shift_sd);

}  // namespace evenfeed
