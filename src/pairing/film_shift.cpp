// SPDX-License-Identifier: MIT
#include "pairing/film_shift.h"

#include <Eigen/Dense>

namespace evenfeed {

FilmShift film_shift(const Eigen::MatrixXd& films,
                     const Eigen::MatrixXd& launcher_spread,
                     double launcher_shift_sd) {
  const Eigen::Index p = films.rows();
  FilmShift shift{Eigen::MatrixXd::Identity(p, p), Eigen::MatrixXd::Zero(p, p)};
  if (films.isZero(0)) return shift;
  const Eigen::MatrixXd prior =
      launcher_shift_sd * launcher_shift_sd * launcher_spread;
  const Eigen::LLT<Eigen::MatrixXd> both(prior + films);
  shift.launcher = both.solve(prior).transpose();
  shift.covariance = prior - shift.launcher * prior;
  return shift;
}

}  // namespace evenfeed
