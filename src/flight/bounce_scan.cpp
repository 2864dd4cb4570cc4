// SPDX-License-Identifier: MIT
#include "flight/bounce_scan.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>

#include <Eigen/Cholesky>

namespace evenfeed {
namespace {

// x_b, y_b, v_in, v_out, then what lift and wrong drag add to the acceleration
// of each arc.
constexpr int kVelocities = 2;
constexpr int kExtra = 8;
constexpr int kUnknowns = 14;
using Unknowns = Eigen::Matrix<double, kUnknowns, 1>;
using NormalMatrix = Eigen::Matrix<double, kUnknowns, kUnknowns>;
// One arc has x_b, y_b, its own velocity and its own extra acceleration.
constexpr int kOfArc = 8;
using ArcUnknowns = Eigen::Matrix<double, kOfArc, 1>;
using ArcRows = Eigen::Matrix<double, 2, kOfArc>;
using ArcNormal = Eigen::Matrix<double, kOfArc, kOfArc>;
// Their places among all.
constexpr std::array<std::array<int, kOfArc>, 2> kOfAll{
    {{0, 1, 2, 3, 4, 8, 9, 10}, {0, 1, 5, 6, 7, 11, 12, 13}}};

constexpr double kPassagePer_m = 100;

// What is expected where an arc has hardly been seen, widely: the scan only
// has to come near.
constexpr double kUsualDescent = 0.5;  // |vz| over the speed along the table
constexpr double kUsualSpeed_mps = 5;  // along the table
constexpr double kUpSd_mps = 0.3;      // of vz_out about e |vz_in|
// Of what lift and wrong drag add along, across and up.
const Eigen::Vector3d kExtraSd_mps2(1, 0.5, 1.5);

// Speed along the table after the bounce over that before, of a ball without
// spin: it loses mu (1 + e) |vz| while it slides, at most 2/5 of its speed,
// when it grips (Garwin 1969; hollow sphere).
double usual_kick(const FlightOptions& options) {
  constexpr double kGrips = 0.4;
  const double slides =
      options.friction * (1 + options.restitution.mean) * kUsualDescent;
  return 1 - std::min(slides, kGrips) + options.kick.mean;
}

// A sighting as two linear equations; rows are scaled so that a residual is
// about one pixel.
struct Sightline {
  double t_s;
  Eigen::Matrix<double, 2, 3> normals;  // per metre
  Eigen::Vector2d offset;               // normals * eye
};

std::vector<Sightline> make_sightlines(const std::vector<Sighting>& sightings,
                                       const CameraModel& camera,
                                       double r_m) {
  const Eigen::Vector3d eye = camera.eye_in_table_m();
  std::vector<Sightline> lines;
  for (const Sighting& s : sightings) {
    const Eigen::Vector3d ray = camera.ray_in_table(s.centre_px);
    const auto on_plane = camera.meet_plane(s.centre_px, r_m);
    const double distance_m =
        on_plane ? (*on_plane - eye).norm() : std::abs(eye.z());
    const Eigen::Vector3d e1 = ray.unitOrthogonal();
    const Eigen::Vector3d e2 = ray.cross(e1);
    Sightline line;
    line.t_s = s.t_s;
    line.normals << e1.transpose(), e2.transpose();
    line.normals *= camera.lens.focal_px / std::max(distance_m, 0.1);
    line.offset = line.normals * eye;
    lines.push_back(line);
  }
  return lines;
}

// The part of an arc that does not depend on the unknowns: second and third
// order about the bounce (drag turns as the ball falls).
struct Bend {
  Eigen::Vector3d a = {0, 0, -kGravity_mps2};
  Eigen::Vector3d jerk = Eigen::Vector3d::Zero();

  Eigen::Vector3d at(double t) const {
    return a * (t * t / 2) + jerk * (t * t * t / 6);
  }
};

Bend bend_of(const Eigen::Vector3d& v, double drag_per_m, double fastest_mps) {
  // A wild intermediate solution must not blow up the next round.
  const double speed = std::clamp(v.norm(), 1e-3, fastest_mps);
  const Eigen::Vector3d tame = v.normalized() * speed;
  Bend bend;
  bend.a = acceleration_mps2<double>(tame, {drag_per_m, 0, 0});
  bend.jerk =
      -drag_per_m * (speed * bend.a + tame * (tame.dot(bend.a) / speed));
  return bend;
}

struct FlightStart {
  FlightVector parameters = FlightVector::Zero();
  double score_px = 0;  // rms of the capped misses
};

class LinearScan {
 public:
  LinearScan(const std::vector<Sighting>& sightings,
             const CameraModel& camera,
             const FlightOptions& options,
             const ScanOptions& scan)
      : lines_(make_sightlines(sightings, camera, options.ball.radius_m)),
        options_(options),
        scan_(scan) {}

  FlightStart solve(double t_b) const {
    Bend in, out;
    Unknowns u = Unknowns::Zero();
    const double drag_per_m = options_.drag.mean * options_.air_per_m();
    const Eigen::LDLT<NormalMatrix> solver(normal_at(t_b));
    for (int round = 0; round < 3; ++round) {
      u = solver.solve(right_at(t_b, in, out));
      const double fastest = options_.fastest_mps;
      in = bend_of(u.segment<3>(kVelocities), drag_per_m, fastest);
      out = bend_of(u.segment<3>(kVelocities + 3), drag_per_m, fastest);
    }
    FlightStart start;
    start.parameters[kTimeOfBounce] = t_b;
    start.parameters.segment<kExtra>(kBounceX) = u.head<kExtra>();
    start.parameters[kDrag] = options_.drag.mean;
    start.parameters[kLiftIn] = lift_of(u, 0);
    start.parameters[kLiftOut] = lift_of(u, 3);
    start.score_px = score(t_b, u, in, out);
    return start;
  }

 private:
  // The lift coefficient behind the extra vertical acceleration.
  double lift_of(const Unknowns& u, int arc) const {
    const Eigen::Vector3d v = u.segment<3>(kVelocities + arc);
    const double full = options_.air_per_m() * v.norm() * v.head<2>().norm();
    return std::clamp(u[kExtra + arc + 2] / std::max(full, 1e-3), -0.5, 0.5);
  }

  static ArcRows rows_of(const Sightline& line, double t) {
    ArcRows rows;
    rows << line.normals.leftCols<2>(), line.normals * t,
        line.normals * (t * t / 2);
    return rows;
  }

  // The unknowns' equations; only their right side depends on the bends.
  NormalMatrix normal_at(double t_b) const {
    std::array<ArcNormal, 2> arcs{ArcNormal::Zero(), ArcNormal::Zero()};
    for (const Sightline& line : lines_) {
      const double t = line.t_s - t_b;
      if (t > scan_.window_out_s) continue;
      const ArcRows rows = rows_of(line, t);
      arcs[t >= 0] += rows.transpose().lazyProduct(rows);
    }
    if (const auto t = passage_s(t_b)) {
      const auto rows = passage_rows(*t);
      arcs[0] += rows.transpose().lazyProduct(rows);
    }
    NormalMatrix normal = NormalMatrix::Zero();
    for (std::size_t arc = 0; arc < arcs.size(); ++arc) {
      normal(kOfAll[arc], kOfAll[arc]) += arcs[arc];
    }
    add_priors(normal);
    return normal;
  }

  Unknowns right_at(double t_b, const Bend& in, const Bend& out) const {
    std::array<ArcUnknowns, 2> arcs{ArcUnknowns::Zero(), ArcUnknowns::Zero()};
    const Eigen::Vector3d above(0, 0, options_.ball.radius_m);
    for (const Sightline& line : lines_) {
      const double t = line.t_s - t_b;
      if (t > scan_.window_out_s) continue;
      const Eigen::Vector3d fixed = above + (t < 0 ? in : out).at(t);
      const Eigen::Vector2d target = line.offset - line.normals * fixed;
      arcs[t >= 0] += rows_of(line, t).transpose().lazyProduct(target);
    }
    if (const auto t = passage_s(t_b)) {
      const Eigen::Vector3d target =
          kPassagePer_m * (options_.passage->x_m - above - in.at(*t));
      arcs[0] += passage_rows(*t).transpose().lazyProduct(target);
    }
    Unknowns right = Unknowns::Zero();
    for (std::size_t arc = 0; arc < arcs.size(); ++arc) {
      right(kOfAll[arc]) += arcs[arc];
    }
    return right;
  }

  // Where the first arc is known to have passed, held to a few centimetres.
  std::optional<double> passage_s(double t_b) const {
    if (!options_.passage || options_.passage->t_s >= t_b) return std::nullopt;
    return options_.passage->t_s - t_b;
  }
  static Eigen::Matrix<double, 3, kOfArc> passage_rows(double t) {
    const Eigen::Matrix3d one = Eigen::Matrix3d::Identity();
    Eigen::Matrix<double, 3, kOfArc> rows;
    rows << one.leftCols<2>(), t * one, t * t / 2 * one;
    return kPassagePer_m * rows;
  }

  // vz_out = -e vz_in and v_out = kick v_in along the table: they matter only
  // where an arc has hardly been seen.
  void add_priors(NormalMatrix& normal) const {
    constexpr double weight_z = 1 / (kUpSd_mps * kUpSd_mps);
    const double e = options_.restitution.mean;
    normal(7, 7) += weight_z;
    normal(4, 4) += weight_z * e * e;
    normal(4, 7) += weight_z * e;
    normal(7, 4) += weight_z * e;
    const double kick = usual_kick(options_);
    // However alike the session's feeds are: a mis-feed is to be found too.
    constexpr double kLeastKickSd = 0.1;
    const double kick_sd_mps =
        std::max(options_.kick.sd, kLeastKickSd) * kUsualSpeed_mps;
    const double weight_kick = 1 / (kick_sd_mps * kick_sd_mps);
    for (int k = 0; k < 2; ++k) {
      normal(5 + k, 5 + k) += weight_kick;
      normal(2 + k, 2 + k) += weight_kick * kick * kick;
      normal(2 + k, 5 + k) -= weight_kick * kick;
      normal(5 + k, 2 + k) -= weight_kick * kick;
    }
    for (int arc = 0; arc < 2; ++arc) {
      for (int k = 0; k < 3; ++k) {
        normal(kExtra + 3 * arc + k, kExtra + 3 * arc + k) +=
            1 / (kExtraSd_mps2[k] * kExtraSd_mps2[k]);
      }
    }
  }

  double score(double t_b,
               const Unknowns& u,
               const Bend& in,
               const Bend& out) const {
    const double cap = scan_.cap_px * scan_.cap_px;
    double sum = 0;
    for (const Sightline& line : lines_) {
      const double t = line.t_s - t_b;
      const int arc = t < 0 ? 0 : 3;
      const Eigen::Vector3d v = u.segment<3>(kVelocities + arc);
      const Eigen::Vector3d extra = u.segment<3>(kExtra + arc);
      const Eigen::Vector3d x =
          Eigen::Vector3d(u[0], u[1], options_.ball.radius_m) + v * t +
          extra * (t * t / 2) + (t < 0 ? in : out).at(t);
      sum += std::min(cap, (line.normals * x - line.offset).squaredNorm());
    }
    return std::sqrt(sum / static_cast<double>(lines_.size())) + implausible(u);
  }

  // A ball comes down before the bounce, goes up after it, and flies at a
  // speed a ball can have.
  double implausible(const Unknowns& u) const {
    double penalty = 0;
    if (u[4] > -0.1) penalty += 1 + std::min(3.0, u[4] + 0.1);
    if (u[7] < 0.05) penalty += 1 + std::min(3.0, 0.05 - u[7]);
    const double speed = u.segment<3>(2).norm();
    if (speed > options_.fastest_mps || speed < 0.5) penalty += scan_.cap_px;
    return penalty;
  }

  std::vector<Sightline> lines_;
  const FlightOptions& options_;
  const ScanOptions& scan_;
};

// The best of `tried` between the last sightings, gap by gap, and after them.
std::vector<FlightStart> best_of_last_gaps(
    const std::vector<Sighting>& sightings,
    const std::vector<FlightStart>& tried,
    int gaps) {
  std::vector<FlightStart> best;
  double end_s = std::numeric_limits<double>::infinity();
  for (int gap = 0; gap < gaps; ++gap) {
    const auto from = sightings.size() - 1 - static_cast<std::size_t>(gap);
    const double begin_s = sightings[from].t_s;
    const FlightStart* here = nullptr;
    for (const FlightStart& one : tried) {
      const double t_s = one.parameters[kTimeOfBounce];
      if (t_s <= begin_s || t_s > end_s || !std::isfinite(one.score_px)) {
        continue;
      }
      if (!here || one.score_px < here->score_px) here = &one;
    }
    if (here) best.push_back(*here);
    end_s = begin_s;
    if (from == 0) break;
  }
  return best;
}

}  // namespace

std::vector<FlightVector> scan_for_bounce(
    const std::vector<Sighting>& sightings,
    const CameraModel& camera,
    const FlightOptions& options,
    const ScanOptions& scan) {
  if (sightings.size() < 4) return {};
  const LinearScan linear(sightings, camera, options, scan);
  std::vector<FlightStart> tried;
  const double first = sightings.front().t_s - scan.beyond_s / 4;
  const double last = sightings.back().t_s + scan.beyond_s;
  for (double t = first; t <= last; t += scan.step_s) {
    tried.push_back(linear.solve(t));
  }
  std::vector<FlightStart> minima;
  for (std::size_t i = 0; i < tried.size(); ++i) {
    const double here = tried[i].score_px;
    const bool left = i == 0 || tried[i - 1].score_px >= here;
    const bool right = i + 1 == tried.size() || tried[i + 1].score_px > here;
    if (left && right && std::isfinite(here)) minima.push_back(tried[i]);
  }
  std::sort(minima.begin(), minima.end(), [](const auto& a, const auto& b) {
    return a.score_px < b.score_px;
  });
  if (minima.size() > static_cast<std::size_t>(scan.keep)) {
    minima.resize(static_cast<std::size_t>(scan.keep));
  }
  std::vector<FlightVector> starts;
  for (const FlightStart& one : minima) starts.push_back(one.parameters);
  for (const FlightStart& one :
       best_of_last_gaps(sightings, tried, scan.last_gaps)) {
    starts.push_back(one.parameters);
  }
  return starts;
}

}  // namespace evenfeed
