// SPDX-License-Identifier: MIT
#include "pipeline/camera_moves.h"

#include "base/units.h"
#include "geometry/steady_view.h"
#include "pipeline/film_time.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr double kWorthTelling_m = 1e-3;
constexpr double kOneMove_s = 5;
constexpr double kFlight_s = 0.5;  // before the bounce, and after it

// A grid over the surface, to say by how much its picture moved.
std::vector<Eigen::Vector3d> places_on(const Surface& surface) {
  std::vector<Eigen::Vector3d> places_m;
  for (const double x : {-0.5, -0.25, 0.0, 0.25, 0.5}) {
    for (const double y : {-0.5, 0.0, 0.5}) {
      places_m.emplace_back(x * surface.length_m, y * surface.width_m, 0);
    }
  }
  return places_m;
}

// Of the surface's picture about its middle, by least squares.
double growth_between(const CameraModel& before,
                      const CameraModel& after,
                      const std::vector<Eigen::Vector3d>& places_m) {
  std::vector<Eigen::Vector2d> from_px, to_px;
  Eigen::Vector2d from_mean(0, 0), to_mean(0, 0);
  for (const Eigen::Vector3d& place_m : places_m) {
    const auto from = before.project(place_m);
    const auto to = after.project(place_m);
    if (!from || !to) continue;
    from_px.push_back(*from);
    to_px.push_back(*to);
    from_mean += *from;
    to_mean += *to;
  }
  if (from_px.empty()) return 1;
  const auto count = static_cast<double>(from_px.size());
  double across = 0, size = 0;
  for (std::size_t i = 0; i < from_px.size(); ++i) {
    const Eigen::Vector2d arm = from_px[i] - from_mean / count;
    across += arm.dot(to_px[i] - to_mean / count);
    size += arm.squaredNorm();
  }
  return size > 0 ? across / size : 1;
}

std::string times_of(const CameraMove& move) {
  if (move.until_s <= move.from_s) return "at " + film_time(move.from_s);
  return fmt::format(
      "from {} to {}", film_time(move.from_s), film_time(move.until_s));
}

// A camera that was pushed nearer shows the same.
std::string words_on_growth(const CameraMove& move) {
  constexpr double kZoom = 0.003;
  if (std::abs(move.growth - 1) < kZoom) return "";
  return fmt::format(
      ". Its picture {} by {:.1f} %, as in a zoom: lock zoom and focus",
      move.growth > 1 ? "grew" : "shrank",
      100 * std::abs(move.growth - 1));
}

std::string words_on_move(const CameraMove& move) {
  if (move.from_s == 0 && !move.to_and_fro()) {
    return fmt::format(
        "at the start the camera stood {:.1f} mm (at the table) from where it "
        "was calibrated: that is allowed for",
        mm_from_m(move.moved_m));
  }
  if (move.to_and_fro()) {
    return fmt::format(
        "the picture moves to and fro by {:.1f} mm (at the table) {}, as "
        "digital stabilisation, an automatic zoom or a loose mount make it: "
        "turn the first two off, fix the mount. Feeds are measured as far as "
        "it could be followed",
        mm_from_m(move.most_m),
        times_of(move));
  }
  return fmt::format(
      "the camera moved by {:.1f} mm (at the table) {}: feeds after it are "
      "measured with its new place",
      mm_from_m(move.moved_m),
      times_of(move));
}

double bounce_of(const Feed& feed) {
  return std::isfinite(feed.t_bounce_s) ? feed.t_bounce_s
                                        : feed.t_launch_s + kFlight_s;
}

}  // namespace

std::vector<CameraMove> camera_moves(const CameraModel& calibrated,
                                     const std::vector<CameraStance>& stances,
                                     const Surface& surface) {
  const std::vector<Eigen::Vector3d> places_m = places_on(surface);
  std::vector<CameraMove> moves;
  const CameraModel* before = &calibrated;
  for (std::size_t i = 0; i < stances.size(); ++i) {
    // Of those at the very start the last one holds.
    const bool goes_on =
        i > 0 && stances[i].from_s - stances[i - 1].from_s < kOneMove_s &&
        (stances[i - 1].from_s > 0 || stances[i].from_s == 0);
    if (!goes_on) {
      if (i > 0) before = &stances[i - 1].camera;
      moves.push_back({stances[i].from_s, 0, 0, 0, 0, 1});
    }
    CameraMove& move = moves.back();
    const CameraModel& now = stances[i].camera;
    move.until_s = stances[i].from_s;
    move.moved_m = shift_at_table_m(*before, now, places_m);
    if (stances[i].from_s > 0) ++move.steps;
    if (move.moved_m <= move.most_m) continue;
    move.most_m = move.moved_m;
    move.growth = growth_between(*before, now, places_m);
  }
  std::erase_if(moves, [](const CameraMove& move) {
    return move.most_m < kWorthTelling_m;
  });
  return moves;
}

std::vector<std::string> words_on_moves(const std::vector<CameraMove>& moves) {
  std::vector<std::string> sentences;
  for (const CameraMove& move : moves) {
    sentences.push_back(words_on_move(move) + words_on_growth(move));
  }
  return sentences;
}

void note_moves(const std::vector<CameraStance>& stances,
                double learning_s,
                std::vector<Feed>& feeds) {
  for (Feed& feed : feeds) {
    const double bounce_s = bounce_of(feed);
    for (const CameraStance& stance : stances) {
      if (stance.from_s <= 0 || stance.moved_m < kKnock_m) continue;
      const double after_s = bounce_s - kFlight_s - stance.from_s;
      if (after_s > learning_s || after_s < -2 * kFlight_s) continue;
      feed.add_note(after_s < 0 ? "the camera moved while it flew"
                                : "the camera had just moved");
      break;
    }
  }
}

int note_lost(const std::vector<double>& lost_at_s,
              double every_s,
              std::vector<Feed>& feeds) {
  int noted = 0;
  for (Feed& feed : feeds) {
    const double bounce_s = bounce_of(feed);
    const auto look = std::lower_bound(
        lost_at_s.begin(), lost_at_s.end(), bounce_s - every_s);
    if (look == lost_at_s.end() || !(*look <= bounce_s + every_s)) continue;
    feed.add_note("the table's lines were not seen while it flew");
    ++noted;
  }
  return noted;
}

}  // namespace evenfeed
