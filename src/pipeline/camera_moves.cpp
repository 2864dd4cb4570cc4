// SPDX-License-Identifier: MIT
#include "pipeline/camera_moves.h"

#include "base/units.h"
#include "geometry/steady_view.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr double kWorthTelling_m = 1e-3;
constexpr double kOneMove_s = 5;

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

std::string minutes(double t_s) {
  const double whole_s = std::floor(t_s / 60);
  return fmt::format("{:.0f}:{:04.1f}", whole_s, t_s - 60 * whole_s);
}

}  // namespace

std::vector<CameraMove> camera_moves(const CameraModel& calibrated,
                                     const std::vector<CameraStance>& stances,
                                     const Surface& surface) {
  const std::vector<Eigen::Vector3d> places_m = places_on(surface);
  std::vector<CameraMove> moves;
  const CameraModel* before = &calibrated;
  for (std::size_t i = 0; i < stances.size(); ++i) {
    const bool goes_on = i > 0 && stances[i - 1].from_s > 0 &&
                         stances[i].from_s - stances[i - 1].from_s < kOneMove_s;
    if (!goes_on) {
      if (i > 0) before = &stances[i - 1].camera;
      moves.push_back({stances[i].from_s, 0, 0});
    }
    moves.back().until_s = stances[i].from_s;
    moves.back().moved_m =
        shift_at_table_m(*before, stances[i].camera, places_m);
  }
  std::erase_if(moves, [](const CameraMove& move) {
    return move.moved_m < kWorthTelling_m;
  });
  return moves;
}

std::vector<std::string> words_on_moves(const std::vector<CameraMove>& moves) {
  std::vector<std::string> sentences;
  for (const CameraMove& move : moves) {
    const double mm = mm_from_m(move.moved_m);
    if (move.from_s == 0) {
      sentences.push_back(
          fmt::format("at the start the camera stood {:.1f} mm (at the table) "
                      "from where it "
                      "was calibrated: that is allowed for",
                      mm));
      continue;
    }
    sentences.push_back(fmt::format(
        "the camera moved by {:.1f} mm (at the table) {}: feeds after it are "
        "measured with its new place",
        mm,
        move.until_s > move.from_s
            ? fmt::format(
                  "from {} to {}", minutes(move.from_s), minutes(move.until_s))
            : fmt::format("at {}", minutes(move.from_s))));
  }
  return sentences;
}

void note_moves(const std::vector<CameraStance>& stances,
                double learning_s,
                std::vector<Feed>& feeds) {
  constexpr double kFlight_s = 0.5;  // before the bounce, and after it
  for (Feed& feed : feeds) {
    const double bounce_s = std::isfinite(feed.t_bounce_s)
                                ? feed.t_bounce_s
                                : feed.t_launch_s + kFlight_s;
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

}  // namespace evenfeed
