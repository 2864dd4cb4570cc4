// SPDX-License-Identifier: MIT
#include "flight/mirror_image.h"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include <Eigen/Dense>

namespace evenfeed {
namespace {

constexpr std::size_t kFewestPairs = 6;  // pictures that show both
constexpr double kMeet_m = 0.06;  // of lines that meet: rows differ in time
constexpr double kShareMeeting = 0.8;  // share of pictures in which they meet
constexpr double kLeastFall_mps2 = 4;  // of a fall, spin and noise allowed for
constexpr double kMostFall_mps2 = 18;

// Both in one picture. Above 0: the first is the ball, the second its image.
struct Both {
  std::size_t one, other;
  double t_s;
  double height_m;
  bool meet;
};

double picture_step_s(const Track& track) {
  double least_s = track.end_s() - track.start_s();
  for (std::size_t i = 1; i < track.sightings.size(); ++i) {
    least_s =
        std::min(least_s, track.sightings[i].t_s - track.sightings[i - 1].t_s);
  }
  return least_s;
}

Both meeting(const Sighting& one,
             const Sighting& other,
             const CameraModel& camera) {
  const Eigen::Vector3d eye_m = camera.eye_in_table_m();
  const Eigen::Vector3d below_m(eye_m.x(), eye_m.y(), -eye_m.z());
  const Eigen::Vector3d ray = camera.ray_in_table(one.centre_px);
  Eigen::Vector3d mirrored = camera.ray_in_table(other.centre_px);
  mirrored.z() = -mirrored.z();
  // Nearest points of the two lines.
  Eigen::Matrix<double, 3, 2> lines;
  lines << ray, -mirrored;
  const Eigen::Vector2d along =
      lines.colPivHouseholderQr().solve(below_m - eye_m);
  const Eigen::Vector3d at_m = eye_m + along[0] * ray;
  const Eigen::Vector3d at_other_m = below_m + along[1] * mirrored;
  Both both{};
  both.t_s = (one.t_s + other.t_s) / 2;
  both.height_m = (at_m.z() + at_other_m.z()) / 2;
  both.meet =
      along[0] > 0 && along[1] > 0 && (at_m - at_other_m).norm() < kMeet_m;
  return both;
}

std::vector<Both> seen_together(const Track& one,
                                const Track& other,
                                const CameraModel& camera) {
  std::vector<Both> all;
  const double near_s =
      0.45 * std::min(picture_step_s(one), picture_step_s(other));
  std::size_t j = 0;
  for (std::size_t i = 0; i < one.sightings.size(); ++i) {
    const double t_s = one.sightings[i].t_s;
    while (j < other.sightings.size() &&
           other.sightings[j].t_s < t_s - near_s) {
      ++j;
    }
    if (j == other.sightings.size()) break;
    if (other.sightings[j].t_s > t_s + near_s) continue;
    Both both = meeting(one.sightings[i], other.sightings[j], camera);
    both.one = i;
    both.other = j;
    all.push_back(both);
  }
  return all;
}

// The longest time in which the same one is the ball.
std::vector<Both> longest_run(const std::vector<Both>& all) {
  std::vector<Both> longest, run;
  for (const Both& both : all) {
    if (!both.meet) continue;
    if (!run.empty() && (run.back().height_m > 0) != (both.height_m > 0)) {
      run.clear();
    }
    run.push_back(both);
    if (run.size() > longest.size()) longest = run;
  }
  return longest;
}

// Up to where it is lowest, or from there: whichever is longer.
std::vector<Both> one_arc(const std::vector<Both>& run) {
  const auto lowest = std::min_element(
      run.begin(), run.end(), [](const Both& a, const Both& b) {
        return std::abs(a.height_m) < std::abs(b.height_m);
      });
  if (lowest - run.begin() > run.end() - lowest) return {run.begin(), lowest};
  return {lowest, run.end()};
}

// By the second degree of its height over time.
bool falls(const std::vector<Both>& arc) {
  Eigen::MatrixX3d powers(arc.size(), 3);
  Eigen::VectorXd height_m(arc.size());
  for (std::size_t i = 0; i < arc.size(); ++i) {
    const auto row = static_cast<Eigen::Index>(i);
    const double t_s = arc[i].t_s - arc.front().t_s;
    powers.row(row) << 1, t_s, t_s * t_s / 2;
    height_m[row] = std::abs(arc[i].height_m);
  }
  const Eigen::Vector3d way = powers.colPivHouseholderQr().solve(height_m);
  return way[2] < -kLeastFall_mps2 && way[2] > -kMostFall_mps2;
}

// Sightings of `track` that are the ball's: by the nearest of the pictures that
// show both, given as index and whether it is the ball there.
void take_balls(const Track& track,
                const std::vector<std::pair<std::size_t, bool>>& told,
                std::vector<Sighting>& balls) {
  for (std::size_t i = 0; i < track.sightings.size(); ++i) {
    const auto nearest = std::min_element(
        told.begin(), told.end(), [&](const auto& a, const auto& b) {
          const auto off = [&](std::size_t k) { return k > i ? k - i : i - k; };
          return off(a.first) < off(b.first);
        });
    if (nearest->second) balls.push_back(track.sightings[i]);
  }
}

}  // namespace

std::optional<Track> without_mirror_image(const Track& one,
                                          const Track& other,
                                          const CameraModel& camera) {
  // In noise there are many tracks, most of them short.
  if (std::min(one.sightings.size(), other.sightings.size()) < kFewestPairs ||
      one.end_s() < other.start_s() || other.end_s() < one.start_s()) {
    return std::nullopt;
  }
  const std::vector<Both> all = seen_together(one, other, camera);
  const auto meeting = std::count_if(
      all.begin(), all.end(), [](const Both& both) { return both.meet; });
  const std::vector<Both> arc = one_arc(longest_run(all));
  if (static_cast<double>(meeting) <
          kShareMeeting * static_cast<double>(all.size()) ||
      arc.size() < kFewestPairs || !falls(arc)) {
    return std::nullopt;
  }
  std::vector<std::pair<std::size_t, bool>> of_one, of_other;
  for (const Both& both : all) {
    if (!both.meet) continue;
    of_one.emplace_back(both.one, both.height_m > 0);
    of_other.emplace_back(both.other, both.height_m <= 0);
  }
  Track ball;
  take_balls(one, of_one, ball.sightings);
  take_balls(other, of_other, ball.sightings);
  std::stable_sort(
      ball.sightings.begin(),
      ball.sightings.end(),
      [](const Sighting& a, const Sighting& b) { return a.t_s < b.t_s; });
  return ball;
}

}  // namespace evenfeed
