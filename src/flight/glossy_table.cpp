// SPDX-License-Identifier: MIT
#include "flight/glossy_table.h"

#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

namespace evenfeed {
namespace {

constexpr std::size_t kMostSightings = 40;  // more are not balls but the light
constexpr double kBeside = 3;               // tolerances: what is counted too
constexpr double kRunGap_s = 0.17;          // in a run
constexpr double kFastest_mps = 25;
constexpr double kSteepest_mps = 8;  // up or down
constexpr double kNoise_m = 0.03;    // of a height, at most
constexpr int kFewestPairs = 8;      // pairs
constexpr int kClearly = 4;          // times as many as beside
constexpr std::size_t kFewestArcs = 3;

// Where a ball that fell rises again it has bounced.
template <typename Iterator>
Iterator next_bounce(Iterator from, Iterator end) {
  bool fell = false;
  for (auto at = from; at + 1 < end; ++at) {
    const double step_m = (at + 1)->at_m.z() - at->at_m.z();
    const double clear_m = 2 * std::hypot(at->s_height_m, (at + 1)->s_height_m);
    if (fell && step_m > clear_m) return at + 1;
    fell = fell || step_m < -clear_m;
  }
  return end;
}

}  // namespace

std::vector<GlossyTable::Pair> GlossyTable::pairs(
    const std::vector<Sighting>& sightings) const {
  std::vector<Pair> found;
  if (sightings.size() > kMostSightings) return found;
  for (std::size_t i = 0; i < sightings.size(); ++i) {
    for (std::size_t j = 0; j < sightings.size(); ++j) {
      if (i == j) continue;
      const auto both =
          ball_with_image(sightings[i], sightings[j], camera_, surface_);
      if (both &&
          (both->meet() || both->beside_px < kBeside * both->tolerance_px)) {
        found.push_back({i, j, *both});
      }
    }
  }
  return found;
}

void GlossyTable::add_frame(double t_frame_s,
                            const std::vector<Sighting>& sightings) {
  if (known_) return;
  close_runs(t_frame_s - kRunGap_s);
  const std::vector<Sighting> moving = without_still(sightings);
  const std::vector<Pair> all = pairs(moving);
  std::vector<char> explained(moving.size(), 0);
  for (const Pair& pair : all) {
    if (!pair.both.surely_meet()) continue;
    ++meeting_;
    explained[pair.ball] = explained[pair.image] = 1;
    prolong({moving[pair.ball].t_s, pair.both.at_m, pair.both.s_height_m});
  }
  for (const Pair& pair : all) {
    beside_ += explained[pair.ball] == 0 && explained[pair.image] == 0;
  }
}

// A ball that lies where an image may lie: the other's fall alone makes the
// height fall.
std::vector<Sighting> GlossyTable::without_still(
    const std::vector<Sighting>& sightings) {
  constexpr double kStill_px = 1;
  std::vector<Sighting> moving;
  for (const Sighting& s : sightings) {
    const bool still =
        std::any_of(last_.begin(), last_.end(), [&](const Sighting& before) {
          return (before.centre_px - s.centre_px).norm() < kStill_px;
        });
    if (!still) moving.push_back(s);
  }
  last_ = sightings;
  return moving;
}

void GlossyTable::prolong(const Height& next) {
  Run* best = nullptr;
  double nearest_m = 0;
  for (Run& run : open_) {
    const double dt_s = next.t_s - run.back().t_s;
    const Eigen::Vector3d step_m = next.at_m - run.back().at_m;
    const double way_m = step_m.head<2>().norm();
    if (dt_s <= 0 || way_m > kFastest_mps * dt_s + kNoise_m ||
        std::abs(step_m.z()) > kSteepest_mps * dt_s + kNoise_m) {
      continue;
    }
    if (best == nullptr || step_m.norm() < nearest_m) {
      best = &run;
      nearest_m = step_m.norm();
    }
  }
  if (best != nullptr) {
    best->push_back(next);
  } else {
    open_.push_back({next});
  }
}

void GlossyTable::close_runs(double until_s) {
  for (const Run& run : open_) {
    if (run.back().t_s > until_s) continue;
    for (auto from = run.begin(); from != run.end();) {
      const auto to = next_bounce(from, run.end());
      weigh({from, to});
      from = to;
    }
  }
  std::erase_if(open_,
                [&](const Run& run) { return run.back().t_s <= until_s; });
  known_ = known_ || (meeting_ >= kFewestPairs &&
                      meeting_ > kClearly * beside_ && heights_fall());
}

// By the median over the arcs, which may be of two balls here and there.
bool GlossyTable::heights_fall() const {
  // Topspin pulls down by as much as gravity, backspin lifts by more.
  constexpr double kLeast_mps2 = -8, kMost_mps2 = 22;
  constexpr double kSpread_mps2 = 3;  // of falls, however alike a few are
  constexpr double kSigmas = 3;
  constexpr double kOfMedian = 1.25;  // its standard error over the mean's
  if (falls_mps2_.size() < kFewestArcs) return false;
  const double fall_mps2 = median(falls_mps2_);
  const double spread_mps2 =
      std::max(kSpread_mps2, median_absolute_deviation(falls_mps2_));
  const double sd_mps2 =
      kOfMedian * spread_mps2 / std::sqrt(falls_mps2_.size());
  return std::abs(fall_mps2) > kSigmas * sd_mps2 && fall_mps2 > kLeast_mps2 &&
         fall_mps2 < kMost_mps2;
}

// By the second degree of its heights over time.
void GlossyTable::weigh(const Run& arc) {
  constexpr double kMostRms = 3;  // in standard deviations: no flight
  constexpr double kMostSd_mps2 = 8;
  constexpr double kLeastWay_m = 0.1;
  if (arc.size() < 3 ||
      (arc.back().at_m - arc.front().at_m).head<2>().norm() < kLeastWay_m) {
    return;
  }
  const auto n = static_cast<Eigen::Index>(arc.size());
  Eigen::MatrixX3d rows(n, 3);
  Eigen::VectorXd heights(n);
  for (Eigen::Index i = 0; i < n; ++i) {
    const Height& one = arc[static_cast<std::size_t>(i)];
    const double t_s = one.t_s - arc.front().t_s;
    rows.row(i) << 1, t_s, -t_s * t_s / 2;
    rows.row(i) /= one.s_height_m;
    heights[i] = one.at_m.z() / one.s_height_m;
  }
  const Eigen::Matrix3d normal = rows.transpose() * rows;
  const Eigen::LDLT<Eigen::Matrix3d> solver(normal);
  const Eigen::Vector3d way = solver.solve(rows.transpose() * heights);
  const double rms = std::sqrt((rows * way - heights).squaredNorm() / n);
  const double variance = normal.inverse()(2, 2);
  if (!way.allFinite() || rms > kMostRms ||
      !(variance < kMostSd_mps2 * kMostSd_mps2)) {
    return;
  }
  falls_mps2_.push_back(way[2]);
}

std::vector<Sighting> GlossyTable::without_images(
    const std::vector<Sighting>& sightings) const {
  if (!known_) return sightings;
  std::vector<Pair> all = pairs(sightings);
  std::sort(all.begin(), all.end(), [](const Pair& a, const Pair& b) {
    return a.both.beside_px < b.both.beside_px;
  });
  std::vector<char> is_image(sightings.size(), 0);
  for (const Pair& pair : all) {
    if (!pair.both.meet()) continue;
    if (is_image[pair.ball] == 0) is_image[pair.image] = 1;
  }
  std::vector<Sighting> left;
  for (std::size_t i = 0; i < sightings.size(); ++i) {
    if (is_image[i] == 0) left.push_back(sightings[i]);
  }
  return left;
}

}  // namespace evenfeed
