// SPDX-License-Identifier: MIT
#include "calibration/rough_flight.h"

#include "base/units.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

const Eigen::Vector3d kEye_m{0.3, -2.5, 1.6};

// Lines to a ball that falls freely but for drag, at `rate_hz`.
std::vector<SightLine> lines_to(Eigen::Vector3d at_m,
                                Eigen::Vector3d velocity_mps,
                                int n,
                                double rate_hz) {
  std::vector<SightLine> lines;
  for (int i = 0; i < n; ++i) {
    lines.push_back({(at_m - kEye_m).normalized(), i / rate_hz});
    constexpr int kSteps = 200;
    for (int j = 0; j < kSteps; ++j) {
      const Eigen::Vector3d pull = Eigen::Vector3d(0, 0, -kGravity_mps2) -
                                   0.11 * velocity_mps.norm() * velocity_mps;
      at_m += velocity_mps / (rate_hz * kSteps);
      velocity_mps += pull / (rate_hz * kSteps);
    }
  }
  return lines;
}

}  // namespace

TEST_CASE("a long flight is placed by how it falls") {
  const Eigen::Vector3d at{-0.9, 0.3, 0.4}, velocity{4, 0.4, 1.5};
  const auto lines = lines_to(at, velocity, 13, 30);
  const RoughFlight flight = rough_flight(kEye_m, lines, 1e-3);
  const Eigen::Vector3d told = (flight.at_m - kEye_m).normalized();
  CHECK((told - lines.back().direction).norm() < 2e-3);
  CHECK(flight.velocity_mps.x() > 3);
  CHECK(flight.velocity_mps.x() < 4);
  CHECK(flight.velocity_mps.z() < -1.5);
  CHECK(flight.s_along_mps < 0.5);
  CHECK(flight.beside_mrad < 2);
}

TEST_CASE("a short one says which way, and how little it knows") {
  const Eigen::Vector3d at{0.5, -0.2, 0.2};
  const RoughFlight forth =
      rough_flight(kEye_m, lines_to(at, {5, 0, -1}, 4, 60), 1e-3);
  const RoughFlight back =
      rough_flight(kEye_m, lines_to(at, {-5, 0, -1}, 4, 60), 1e-3);
  CHECK(forth.velocity_mps.x() > 3 * forth.s_along_mps);
  CHECK(back.velocity_mps.x() < -3 * back.s_along_mps);
  CHECK(forth.s_along_mps > 0.3);
  // Seen along the table it may as well rise or fall.
  const std::vector<SightLine> still(4, {{0.9, 0, -0.43}, 0});
  CHECK(rough_flight({-3.5, 0, 1.5}, still, 1e-3).s_along_mps > 4);
}

TEST_CASE("what is no flight lies beside it") {
  auto lines = lines_to({-0.9, 0.3, 0.4}, {4, 0.4, 1.5}, 13, 30);
  lines[6].direction =
      (lines[6].direction + Eigen::Vector3d(0, 0, 0.1)).normalized();
  CHECK(rough_flight(kEye_m, lines, 1e-3).beside_mrad > 10);
}
