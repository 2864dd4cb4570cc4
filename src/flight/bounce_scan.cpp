// SPDX-License-Identifier: MIT
#include "flight/bounce_scan.h"

#include "base/check.h"
#include "flight/trial_arc.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>

#include <Eigen/Cholesky>

namespace evenfeed {
namespace {

// What a trial solves for, at the bounce; each velocity and each addition has 3
// values, along, across and up.
enum Unknown {
  kPlaceX,
  kPlaceY,
  kIn,                       // velocity just before
  kOut = kIn + 3,            // just after
  kExtraIn = kOut + 3,       // what lift and wrong drag add to the first arc's
  kExtraOut = kExtraIn + 3,  // acceleration, and to the second's
  kUnknowns = kExtraOut + 3,
};
constexpr int kUp = 2;
using Unknowns = Eigen::Matrix<double, kUnknowns, 1>;
using NormalMatrix = Eigen::Matrix<double, kUnknowns, kUnknowns>;
// One arc has x_b, y_b, its own velocity and its own extra acceleration.
constexpr int kOfArc = 8;
using ArcUnknowns = Eigen::Matrix<double, kOfArc, 1>;
using ArcNormal = Eigen::Matrix<double, kOfArc, kOfArc>;
// Their places among all.
constexpr std::array<std::array<int, kOfArc>, 2> kOfAll{{{kPlaceX,
                                                          kPlaceY,
                                                          kIn,
                                                          kIn + 1,
                                                          kIn + kUp,
                                                          kExtraIn,
                                                          kExtraIn + 1,
                                                          kExtraIn + kUp},
                                                         {kPlaceX,
                                                          kPlaceY,
                                                          kOut,
                                                          kOut + 1,
                                                          kOut + kUp,
                                                          kExtraOut,
                                                          kExtraOut + 1,
                                                          kExtraOut + kUp}}};

Eigen::Vector3d velocity_of(const Unknowns& u, Arc arc) {
  return u.segment<3>(arc == Arc::kIn ? kIn : kOut);
}

Eigen::Vector3d extra_of(const Unknowns& u, Arc arc) {
  return u.segment<3>(arc == Arc::kIn ? kExtraIn : kExtraOut);
}

// Where the first arc is known to have passed, it is held to a few centimetres.
constexpr double kPassagePer_m = 100;
constexpr double kTypicalSigma_px = 0.3;  // of a sighting, beside the priors'
constexpr int kRounds = 6;
constexpr double kSettled = 0.1;  // m, m/s, m/s^2

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

struct Equations {
  NormalMatrix normal = NormalMatrix::Zero();
  Unknowns right = Unknowns::Zero();
};

// Both arcs about one trial, sightline by sightline.
struct Trial {
  std::vector<Passing> passing;
  std::vector<double> weight;     // of each sightline
  std::optional<Passing> launch;  // at the known passage
};

struct FlightStart {
  FlightVector parameters = FlightVector::Zero();
  double score_px = 0;  // rms of the capped misses
};

class MomentScan {
 public:
  MomentScan(const std::vector<Sighting>& sightings,
             const CameraModel& camera,
             const FlightOptions& options,
             const ScanOptions& scan)
      : lines_(make_sightlines(sightings, camera, options.ball.radius_m)),
        options_(options),
        scan_(scan),
        priors_(priors()) {}

  FlightStart solve(double t_b) const {
    Unknowns u = Unknowns::Zero();
    for (int round = 0; round < kRounds; ++round) {
      Trial trial = flown(t_b, u, scan_.window_out_s);
      // The first solution is too rough to tell a bad sighting.
      if (round > 1) weigh(t_b, u, trial);
      const Equations equations = equations_about(t_b, trial);
      const Unknowns last = u;
      u = equations.normal.ldlt().solve(equations.right);
      if (round > 1 && (u - last).norm() < kSettled) break;
    }
    FlightStart start;
    start.parameters[kTimeOfBounce] = t_b;
    start.parameters.segment<kExtraIn>(kBounceX) = u.head<kExtraIn>();
    start.parameters[kDrag] = options_.drag.mean;
    start.parameters[kLiftIn] = lift_of(u, Arc::kIn);
    start.parameters[kLiftOut] = lift_of(u, Arc::kOut);
    constexpr double kAll_s = std::numeric_limits<double>::infinity();
    start.score_px = score(t_b, u, flown(t_b, u, kAll_s));
    return start;
  }

 private:
  // The lift coefficient behind the extra vertical acceleration.
  double lift_of(const Unknowns& u, Arc arc) const {
    const Eigen::Vector3d v = velocity_of(u, arc);
    const double full = options_.air_per_m() * v.norm() * v.head<2>().norm();
    return std::clamp(extra_of(u, arc)[kUp] / std::max(full, 1e-3), -0.5, 0.5);
  }

  TrialArc arc_of(const Unknowns& u, Arc arc) const {
    return {velocity_of(u, arc),
            extra_of(u, arc),
            options_.drag.mean * options_.air_per_m(),
            options_.fastest_mps};
  }

  // Where the first arc is known to have passed.
  std::optional<double> launch_s(double t_b) const {
    if (!options_.passage || options_.passage->t_s >= t_b) return std::nullopt;
    return options_.passage->t_s - t_b;
  }

  std::size_t first_after(double t_b) const {
    const auto it = std::partition_point(
        lines_.begin(), lines_.end(), [&](const Sightline& line) {
          return line.t_s < t_b;
        });
    return static_cast<std::size_t>(it - lines_.begin());
  }

  // As far as `until_s` after the bounce.
  Trial flown(double t_b, const Unknowns& u, double until_s) const {
    Trial trial;
    trial.passing.resize(lines_.size());
    trial.weight.assign(lines_.size(), 1.0);
    const std::size_t split = first_after(t_b);
    TrialArc in = arc_of(u, Arc::kIn);
    for (std::size_t i = split; i-- > 0;) {
      trial.passing[i] = in.fly_to(lines_[i].t_s - t_b);
    }
    TrialArc out = arc_of(u, Arc::kOut);
    for (std::size_t i = split; i < lines_.size(); ++i) {
      const double t = lines_[i].t_s - t_b;
      if (t > until_s) break;
      trial.passing[i] = out.fly_to(t);
    }
    if (const auto t = launch_s(t_b))
      trial.launch = arc_of(u, Arc::kIn).fly_to(*t);
    return trial;
  }

  Eigen::Vector2d miss_px(std::size_t i,
                          double t_b,
                          const Unknowns& u,
                          const Trial& trial) const {
    const Arc arc = lines_[i].t_s < t_b ? Arc::kIn : Arc::kOut;
    const Eigen::Vector3d bounce(
        u[kPlaceX], u[kPlaceY], options_.ball.radius_m);
    const Eigen::Vector3d place =
        bounce + trial.passing[i].of(velocity_of(u, arc), extra_of(u, arc));
    return lines_[i].normals * place - lines_[i].offset;
  }

  // A sighting of something else must not bend the arc.
  void weigh(double t_b, const Unknowns& u, Trial& trial) const {
    const double near_px = scan_.cap_px / 2;
    for (std::size_t i = 0; i < lines_.size(); ++i) {
      if (lines_[i].t_s - t_b > scan_.window_out_s) break;
      const double miss = miss_px(i, t_b, u, trial).norm();
      if (miss > near_px) trial.weight[i] = near_px / miss;
    }
  }

  template <typename Normals>
  static Eigen::Matrix<double, Normals::RowsAtCompileTime, kOfArc> rows_of(
      const Normals& normals, const Passing& passing) {
    Eigen::Matrix<double, Normals::RowsAtCompileTime, kOfArc> rows;
    rows << normals.template leftCols<2>(), normals * passing.by_velocity,
        normals * passing.by_extra;
    return rows;
  }

  Equations equations_about(double t_b, const Trial& trial) const {
    std::array<ArcNormal, 2> normals{ArcNormal::Zero(), ArcNormal::Zero()};
    std::array<ArcUnknowns, 2> rights{ArcUnknowns::Zero(), ArcUnknowns::Zero()};
    const Eigen::Vector3d above(0, 0, options_.ball.radius_m);
    const auto add = [&](std::size_t arc,
                         double weight,
                         const auto& rows,
                         const auto& target) {
      const auto weighted = (weight * rows.transpose()).eval();
      normals[arc] += weighted.lazyProduct(rows);
      rights[arc] += weighted.lazyProduct(target);
    };
    for (std::size_t i = 0; i < lines_.size(); ++i) {
      const Sightline& line = lines_[i];
      const double t = line.t_s - t_b;
      if (t > scan_.window_out_s) break;
      const Passing& passing = trial.passing[i];
      const Eigen::Vector2d target =
          line.offset - line.normals * (above + passing.rest);
      add(t >= 0, trial.weight[i], rows_of(line.normals, passing), target);
    }
    if (trial.launch) {
      const Eigen::Matrix3d one = kPassagePer_m * Eigen::Matrix3d::Identity();
      const Eigen::Vector3d target =
          one * (options_.passage->x_m - above - trial.launch->rest);
      add(0, 1, rows_of(one, *trial.launch), target);
    }
    Equations all;
    all.normal = priors_;
    for (std::size_t arc = 0; arc < 2; ++arc) {
      all.normal(kOfAll[arc], kOfAll[arc]) += normals[arc];
      all.right(kOfAll[arc]) += rights[arc];
    }
    return all;
  }

  // vz_out = -e vz_in and v_out = kick v_in along the table: they matter only
  // where an arc has hardly been seen.
  NormalMatrix priors() const {
    NormalMatrix normal = NormalMatrix::Zero();
    constexpr double weight_z = 1 / (kUpSd_mps * kUpSd_mps);
    const double e = options_.restitution.mean;
    constexpr int down_in = kIn + kUp;
    constexpr int up_out = kOut + kUp;
    normal(up_out, up_out) += weight_z;
    normal(down_in, down_in) += weight_z * e * e;
    normal(down_in, up_out) += weight_z * e;
    normal(up_out, down_in) += weight_z * e;
    const double kick = usual_kick(options_);
    // However alike the session's feeds are: a mis-feed is to be found too.
    constexpr double kLeastKickSd = 0.1;
    const double kick_sd_mps =
        std::max(options_.kick.sd, kLeastKickSd) * kUsualSpeed_mps;
    const double weight_kick = 1 / (kick_sd_mps * kick_sd_mps);
    for (int k = 0; k < 2; ++k) {
      normal(kOut + k, kOut + k) += weight_kick;
      normal(kIn + k, kIn + k) += weight_kick * kick * kick;
      normal(kIn + k, kOut + k) -= weight_kick * kick;
      normal(kOut + k, kIn + k) -= weight_kick * kick;
    }
    for (int k = 0; k < 3; ++k) {
      const double weight = 1 / (kExtraSd_mps2[k] * kExtraSd_mps2[k]);
      normal(kExtraIn + k, kExtraIn + k) += weight;
      normal(kExtraOut + k, kExtraOut + k) += weight;
    }
    return normal;
  }

  double score(double t_b, const Unknowns& u, const Trial& trial) const {
    const double cap = scan_.cap_px * scan_.cap_px;
    double sum = 0;
    for (std::size_t i = 0; i < lines_.size(); ++i) {
      sum += std::min(cap, miss_px(i, t_b, u, trial).squaredNorm());
    }
    // Before a bounce that was not seen nothing else tells its moment.
    sum += kTypicalSigma_px * kTypicalSigma_px * u.dot(priors_ * u);
    return std::sqrt(sum / static_cast<double>(lines_.size())) +
           implausible(t_b, u);
  }

  // A ball comes down before the bounce, goes up after it, and flies at a
  // speed a ball can have. Where it comes from the launcher it has not bounced
  // in the air.
  double implausible(double t_b, const Unknowns& u) const {
    if (!u.allFinite()) return std::numeric_limits<double>::infinity();
    double penalty = 0;
    const double down = u[kIn + kUp];
    const double up = u[kOut + kUp];
    if (down > -0.1) penalty += 1 + std::min(3.0, down + 0.1);
    if (up < 0.05) penalty += 1 + std::min(3.0, 0.05 - up);
    constexpr double kMargin_m = 0.3;
    if (t_b < lines_.front().t_s &&
        !options_.table.covers(u.head<2>(), kMargin_m)) {
      penalty += scan_.cap_px / 2;
    }
    const double speed = velocity_of(u, Arc::kIn).norm();
    if (speed > options_.fastest_mps || speed < 0.5) penalty += scan_.cap_px;
    return penalty;
  }

  std::vector<Sightline> lines_;
  const FlightOptions& options_;
  const ScanOptions& scan_;
  const NormalMatrix priors_;
};

bool better(const FlightStart& a, const FlightStart& b) {
  return a.score_px < b.score_px;
}

// Best first.
std::vector<FlightStart> minima_of(const std::vector<FlightStart>& tried) {
  std::vector<FlightStart> minima;
  for (std::size_t i = 0; i < tried.size(); ++i) {
    const double here = tried[i].score_px;
    const bool left = i == 0 || tried[i - 1].score_px >= here;
    const bool right = i + 1 == tried.size() || tried[i + 1].score_px > here;
    if (left && right && std::isfinite(here)) minima.push_back(tried[i]);
  }
  std::sort(minima.begin(), minima.end(), better);
  return minima;
}

// At steps, and halfway to the next beside what looks like a minimum.
std::vector<FlightStart> tried_moments(const MomentScan& moments,
                                       double first_s,
                                       double last_s,
                                       const ScanOptions& scan) {
  constexpr std::size_t kMostLooked = 12;
  std::vector<FlightStart> tried;
  for (double t = first_s; t <= last_s; t += scan.step_s) {
    tried.push_back(moments.solve(t));
  }
  auto looked = minima_of(tried);
  if (looked.size() > kMostLooked) looked.resize(kMostLooked);
  for (const FlightStart& one : looked) {
    for (const double aside_s : {-scan.step_s / 2, scan.step_s / 2}) {
      tried.push_back(moments.solve(one.parameters[kTimeOfBounce] + aside_s));
    }
  }
  std::sort(tried.begin(), tried.end(), [](const auto& a, const auto& b) {
    return a.parameters[kTimeOfBounce] < b.parameters[kTimeOfBounce];
  });
  return tried;
}

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

void ScanOptions::check() const {
  require_in_range(step_s, 1e-4, 0.1, "step_s");
  require_in_range(beyond_s, 0, 10, "beyond_s");
  require_positive(window_out_s, "window_out_s");
  require_positive(cap_px, "cap_px");
  require_in_range(keep, 0, 100, "keep");
  require_in_range(last_gaps, 0, 100, "last_gaps");
}

std::vector<FlightVector> scan_for_bounce(
    const std::vector<Sighting>& sightings,
    const CameraModel& camera,
    const FlightOptions& options,
    const ScanOptions& scan) {
  scan.check();
  if (sightings.size() < 4) return {};
  const MomentScan moments(sightings, camera, options, scan);
  const std::vector<FlightStart> tried =
      tried_moments(moments,
                    sightings.front().t_s - scan.beyond_s / 4,
                    sightings.back().t_s + scan.beyond_s,
                    scan);
  std::vector<FlightStart> minima = minima_of(tried);
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
