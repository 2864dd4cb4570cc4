// SPDX-License-Identifier: MIT
// A straight model through group means some of which share more than they tell
// by themselves:
//   mean_i = x_i' beta + b_(set of i) + a_i + e_i,
//   b ~ N(0, shared), a_i ~ N(0, between), e_i ~ N(0, v_i), v_i known.
// Both variances by restricted maximum likelihood, by Fisher scoring with the
// expected information (Harville 1977, Journal of the American Statistical
// Association 72:320; steps are halved until the likelihood rises, and a
// variance stays >= 0). The errors of beta allow for the variances' being
// estimated, and each coefficient has the degrees of freedom of its own
// variance (Kenward and Roger 1997, Biometrics 53:983): a slope that is seen
// within the sets has about as many as there are means, one that is only seen
// from set to set as many as there are sets.
#pragma once

#include "stats/random_effects_regression.h"

#include <vector>

#include <Eigen/Core>

namespace evenfeed {

/// Whether sets can be told from what is in them: one with two members or more
/// beside another one. `level`: means of other levels share nothing; empty: one
/// level.
bool has_shared_sets(const std::vector<int>& sets,
                     const std::vector<int>& level);

/// `sets`: 0, 1, ... per mean. Fails as random_effects_regression() does, and
/// when the search for the variances comes to no end.
[[nodiscard]] RandomEffectsFit nested_effects_regression(
    const Eigen::VectorXd& means,
    const Eigen::VectorXd& variances,
    const Eigen::MatrixXd& x,
    const std::vector<int>& sets);

}  // namespace evenfeed
