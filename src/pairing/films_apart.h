// SPDX-License-Identifier: MIT
// How far two films' feeds may be apart by the films' own errors.
//
// With l_k what cause k moves the feeds of a film by when it is one sd off, a
// difference of the films errs by the covariance
//
//   D = sum over causes of both films (l_ak - l_bk) (l_ak - l_bk)'
//     + sum over causes of one film l_k l_k'
//
// (JCGM 102:2011, 6.2: one quantity that two results depend on counts once). A
// cause of both may still differ from film to film, as the launcher's spin
// does; by no more than it does from feed to feed (common practice, no source),
// which adds (spread / sd)^2 l_k l_k'.
#pragma once

#include "session/shared_uncertainty.h"

#include <string>
#include <vector>

#include <Eigen/Core>

namespace evenfeed {

/// D for these columns. A film that tells no causes errs by itself in each
/// column.
[[nodiscard]] Eigen::MatrixXd films_apart(
    const SharedUncertainty& a,
    const SharedUncertainty& b,
    const std::vector<std::string>& columns);

}  // namespace evenfeed
