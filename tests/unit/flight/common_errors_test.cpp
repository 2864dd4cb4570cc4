// SPDX-License-Identifier: MIT
#include "flight/common_errors.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

using Response = Eigen::Matrix<double, kSessionParameters, 2>;

// The first three unknowns are told, the others are known beforehand.
SessionCovariance told() {
  SessionCovariance s = SessionCovariance::Zero();
  s.topLeftCorner<3, 3>() << 40, 5, -3, 5, 20, 2, -3, 2, 10;
  return s;
}

std::map<int, Response> answers() {
  std::map<int, Response> g{{-2, Response::Zero()}, {1, Response::Zero()}};
  g[-2].topRows<3>() << 30, 5, -10, 8, 4, 2;
  g[1].topRows<3>() << -12, 1, 25, 0, 3, -6;
  return g;
}

}  // namespace

TEST_CASE("without errors in common nothing changes") {
  const SharedInformation shared = with_common_errors(told(), answers(), 0);
  CHECK((shared.data - told()).norm() < 1e-9);
  const SessionVector pull = told() * SessionVector::Ones();
  CHECK((shared.weight * pull - pull).norm() < 1e-9);
}

TEST_CASE("the covariance grows by what the errors do to the estimate") {
  constexpr double kError_px = 0.3;
  const SharedInformation shared =
      with_common_errors(told(), answers(), kError_px);
  // By another way: the estimate's covariance, and its inverse.
  const Eigen::Matrix3d s = told().topLeftCorner<3, 3>();
  Eigen::Matrix3d covariance = s.inverse();
  for (const auto& [stage, g] : answers()) {
    const Eigen::Matrix<double, 3, 2> moved =
        kError_px * s.inverse() * g.topRows<3>();
    covariance += moved * moved.transpose();
  }
  const Eigen::Matrix3d information = covariance.inverse();
  CHECK((shared.data.topLeftCorner<3, 3>() - information).norm() <
        1e-9 * information.norm());
  CHECK(shared.data.bottomRightCorner<4, 4>().norm() < 1e-9);
  REQUIRE(information.norm() < 0.6 * s.norm());
}

TEST_CASE("a stage is a tenth of a second from the bounce") {
  CHECK(flight_stage(0.05) == 0);
  CHECK(flight_stage(0.19) == 1);
  CHECK(flight_stage(-0.01) == -1);
  CHECK(flight_stage(-0.31) == -4);
}
