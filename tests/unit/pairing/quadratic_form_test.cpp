// SPDX-License-Identifier: MIT
#include "pairing/quadratic_form.h"

#include <cmath>
#include <random>
#include <vector>

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// The upper triangle is filled with nonsense: nobody may look at it.
double by_elimination(const Eigen::MatrixXd& s, const Eigen::VectorXd& d) {
  const int p = static_cast<int>(d.size());
  std::vector<double> lower(static_cast<std::size_t>(p * p), NAN);
  for (int i = 0; i < p; ++i) {
    for (int j = 0; j <= i; ++j) {
      lower[static_cast<std::size_t>(i * p + j)] = s(i, j);
    }
  }
  Eigen::VectorXd rest = d;
  return inverse_quadratic_form(lower.data(), rest.data(), p);
}

}  // namespace

TEST_CASE("quadratic form: the same as by Cholesky, for every size") {
  std::mt19937 random(3);
  std::normal_distribution<double> normal;
  for (int p = 1; p <= 12; ++p) {
    const Eigen::MatrixXd a =
        Eigen::MatrixXd::NullaryExpr(p, p, [&] { return normal(random); });
    const Eigen::MatrixXd s =
        a * a.transpose() + 0.1 * Eigen::MatrixXd::Identity(p, p);
    const Eigen::VectorXd d =
        Eigen::VectorXd::NullaryExpr(p, [&] { return normal(random); });
    CAPTURE(p);
    CHECK(by_elimination(s, d) ==
          doctest::Approx(d.dot(s.llt().solve(d))).epsilon(1e-11));
    CHECK(by_elimination(s, Eigen::VectorXd::Zero(p)) == 0);
  }
}

TEST_CASE("quadratic form: what is no covariance is infinitely far") {
  Eigen::MatrixXd s(2, 2);
  s << 1, 2, 2, 1;
  CHECK(std::isinf(by_elimination(s, Eigen::Vector2d(1, 1))));
  s << 0, 0, 0, 1;
  CHECK(std::isinf(by_elimination(s, Eigen::Vector2d(0, 0))));
  s << 1, 0, 0, NAN;
  CHECK(std::isinf(by_elimination(s, Eigen::Vector2d(0, 0))));
}
