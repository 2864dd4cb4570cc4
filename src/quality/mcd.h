// SPDX-License-Identifier: MIT
// Reweighted minimum covariance determinant: the centre and the covariance of
// the h vectors whose covariance has the least determinant, found by FAST-MCD
// (Rousseeuw and Van Driessen 1999, Technometrics 41:212), made consistent at
// the normal distribution (Croux and Haesbroeck 1999) and corrected for small
// samples (Pison, Van Aelst and Willems 2002, Metrika 55:111); then the
// ordinary ones of all vectors within the 97.5 % distance, corrected again.
#pragma once

#include <string>
#include <vector>

#include <Eigen/Core>

namespace evenfeed {

struct McdOptions {
  double share = 0.75;  ///< of the vectors trusted to be good, 0.5 to 1
  int starts = 500;     ///< random starts of p + 1 vectors, two steps each
  int finalists = 10;   ///< the best of them are taken to convergence
  void check() const;
};

struct McdFit {
  bool ok = false;
  std::string message;    ///< why not
  int h = 0;              ///< size of the best subset
  std::vector<int> best;  ///< its rows, ascending
  double objective = 0;   ///< log determinant of its covariance
  Eigen::VectorXd raw_centre;
  Eigen::MatrixXd raw_covariance;  ///< corrected
  Eigen::VectorXd centre;          ///< reweighted
  Eigen::MatrixXd covariance;      ///< reweighted, corrected
  std::vector<bool> inside;        ///< rows that the reweighting kept
  int kept = 0;                    ///< how many
};

/// Rows are vectors and must be finite. Not ok when there are fewer than
/// 2 p + 1 rows or when h of them lie on a hyperplane. The result depends on
/// the rows alone: the random starts have a fixed seed.
McdFit minimum_covariance_determinant(const Eigen::MatrixXd& rows,
                                      const McdOptions& options = {});

}  // namespace evenfeed
