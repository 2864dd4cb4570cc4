// SPDX-License-Identifier: MIT
#include "flight/reduced_system.h"

#include "base/random.h"

#include <random>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr int kF = kFlightParameters;
constexpr int kS = kSessionParameters;
constexpr int kRows = 60;

// A feed's residuals and what they answer to: own unknowns, the session's and
// the clock. Invented.
struct Linear {
  Eigen::Matrix<double, kRows, kF> own;
  Eigen::Matrix<double, kRows, kS> shared;
  Eigen::Matrix<double, kRows, 1> clock, residual;
};

std::vector<Linear> invented(int feeds) {
  RandomEngine random = derived_engine(1, "reduced system", 0);
  std::normal_distribution<double> normal(0, 1);
  const auto draw = [&](double) { return normal(random); };
  std::vector<Linear> all(static_cast<std::size_t>(feeds));
  for (Linear& one : all) {
    one.own = one.own.unaryExpr(draw);
    one.own.col(2) *= 1e4;  // they differ by orders of magnitude
    one.shared = one.shared.unaryExpr(draw);
    one.clock = one.clock.unaryExpr(draw);
    one.residual = one.residual.unaryExpr(draw);
  }
  return all;
}

FeedEquations equations_of(const Linear& one) {
  FeedEquations e;
  e.a = one.own.transpose() * one.own;
  e.b = one.own.transpose() * one.shared;
  e.c = one.shared.transpose() * one.shared;
  e.g = one.own.transpose() * one.residual;
  e.gs = one.shared.transpose() * one.residual;
  e.scale = e.a.diagonal().cwiseSqrt().cwiseInverse();
  e.solver.compute(e.scale.asDiagonal() * e.a * e.scale.asDiagonal());
  e.errors[3].own = one.own.topRows<2>().transpose();
  e.errors[3].shared = one.shared.topRows<2>().transpose();
  return e;
}

ClockColumn column_of(const Linear& one) {
  ClockColumn column{one.own.transpose() * one.clock,
                     one.shared.transpose() * one.clock,
                     one.clock.squaredNorm(),
                     -one.clock.dot(one.residual),
                     {}};
  column.errors[3] = one.clock.head<2>().transpose();
  return column;
}

// Computed another way: residuals and columns less what the feed's own unknowns
// take up of them, by the orthogonal projection.
Eigen::MatrixXd left_by_own(const Linear& one, const Eigen::MatrixXd& columns) {
  const Eigen::HouseholderQR<Eigen::MatrixXd> qr(one.own);
  const Eigen::MatrixXd q =
      qr.householderQ() * Eigen::MatrixXd::Identity(kRows, kF);
  return columns - q * (q.transpose() * columns);
}

}  // namespace

TEST_CASE("the reduced system is what least squares has without the blocks") {
  const std::vector<Linear> feeds = invented(4);
  std::vector<FeedEquations> equations;
  std::vector<ClockColumn> columns;
  Eigen::MatrixXd information = Eigen::MatrixXd::Zero(kS + 1, kS + 1);
  Eigen::MatrixXd pull = Eigen::MatrixXd::Zero(kS + 1, 1);
  Eigen::MatrixXd answer = Eigen::MatrixXd::Zero(kS + 1, 2);
  for (const Linear& one : feeds) {
    equations.push_back(equations_of(one));
    columns.push_back(column_of(one));
    Eigen::MatrixXd shared(kRows, kS + 1);
    shared << one.shared, one.clock;
    const Eigen::MatrixXd left = left_by_own(one, shared);
    information += left.transpose() * left;
    pull -= left.transpose() * one.residual;
    answer += left.transpose() * Eigen::MatrixXd::Identity(kRows, 2);
  }
  const ReducedSystem reduced = reduced_system(equations);
  const ClockEquations all = with_clock(reduced, equations, columns);
  const double scale = information.norm();
  CHECK((reduced.information - information.topLeftCorner(kS, kS)).norm() <
        1e-9 * scale);
  CHECK((reduced.pull - pull.topRows(kS)).norm() < 1e-9 * pull.norm());
  REQUIRE(reduced.errors.count(3) == 1);
  CHECK((reduced.errors.at(3) - answer.topRows(kS)).norm() <
        1e-9 * answer.norm());
  CHECK((all.information - information).norm() < 1e-9 * scale);
  CHECK((all.pull - pull).norm() < 1e-9 * pull.norm());
  CHECK((all.answers.at(3) - answer).norm() < 1e-9 * answer.norm());
}
