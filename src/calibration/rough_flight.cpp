// SPDX-License-Identifier: MIT
#include "calibration/rough_flight.h"

#include "base/units.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

namespace evenfeed {
namespace {

using Vector6 = Eigen::Matrix<double, 6, 1>;
using Matrix6 = Eigen::Matrix<double, 6, 6>;
using Rows = Eigen::Matrix<double, 3, 6>;

constexpr double kDrag_per_m = 0.11;  // of a 40 mm ball; roughly, as all here
constexpr int kSolvings = 4;

// What a ball over a table may do: place, then velocity. Which way it flies
// along the table is what is asked, so nothing is believed about that.
Vector6 believed() { return {0, 0, 0.25, 0, 0, -0.5}; }
Vector6 believed_sd() { return {1.5, 0.5, 0.25, 10, 1.5, 2.5}; }

// Perpendicular to the line: what moves along it is not seen.
Eigen::Matrix3d across(const SightLine& line) {
  return Eigen::Matrix3d::Identity() -
         line.direction * line.direction.transpose();
}

}  // namespace

RoughFlight rough_flight(const Eigen::Vector3d& eye_m,
                         const std::vector<SightLine>& lines,
                         double sd_rad) {
  const Vector6 sd = believed_sd();
  const double end_s = lines.back().t_s;
  const double half_s = (end_s - lines.front().t_s) / 2;
  Vector6 flight = believed();
  Eigen::Vector3d pull{0, 0, -kGravity_mps2};
  Matrix6 normal;
  double beside2 = 0;
  for (int round = 0; round < kSolvings; ++round) {
    const Eigen::Vector3d halfway = flight.tail<3>() - half_s * pull;
    pull = Eigen::Vector3d(0, 0, -kGravity_mps2) -
           kDrag_per_m * halfway.norm() * halfway;
    const double away_m = std::max(0.3, (flight.head<3>() - eye_m).norm());
    const double weight = 1 / (sd_rad * away_m * sd_rad * away_m);
    normal = sd.cwiseAbs2().cwiseInverse().asDiagonal();
    Vector6 right = normal * believed();
    beside2 = 0;
    for (const SightLine& line : lines) {
      const double tau = line.t_s - end_s;
      const Eigen::Matrix3d seen = across(line);
      const Eigen::Vector3d fall = pull * (tau * tau / 2);
      Rows rows;
      rows << seen, tau * seen;
      const Eigen::Vector3d wanted = seen * (eye_m - fall);
      normal += weight * rows.transpose() * rows;
      right += weight * rows.transpose() * wanted;
      beside2 += (rows * flight - wanted).squaredNorm() / (away_m * away_m);
    }
    flight = normal.ldlt().solve(right);
  }
  RoughFlight found;
  found.at_m = flight.head<3>();
  found.velocity_mps = flight.tail<3>();
  found.s_along_mps = std::sqrt(normal.inverse()(3, 3));
  found.beside_mrad = 1e3 * std::sqrt(beside2 / lines.size());
  return found;
}

}  // namespace evenfeed
