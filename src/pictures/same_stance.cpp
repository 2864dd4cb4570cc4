// SPDX-License-Identifier: MIT
#include "pictures/same_stance.h"

#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace evenfeed {
namespace {

// Where a film shows places: where the calibrated camera sees them, and by how
// much a knocked one saw this flight elsewhere.
class ShownPlaces {
 public:
  explicit ShownPlaces(const PairedTrial& trial) : camera_(trial.camera) {
    std::vector<double> u, v;
    for (const FlownPoint& point : trial.flown.path) {
      const auto calibrated = camera_.project(point.x_in_table_m);
      if (!calibrated) continue;
      u.push_back(point.film_px.x() - calibrated->x());
      v.push_back(point.film_px.y() - calibrated->y());
    }
    if (!u.empty()) shift_px_ = {median(u), median(v)};
  }

  std::optional<Eigen::Vector2d> operator()(
      const Eigen::Vector3d& x_in_table_m) const {
    const auto calibrated = camera_.project(x_in_table_m);
    if (!calibrated) return std::nullopt;
    return *calibrated + shift_px_;
  }

 private:
  const CameraModel& camera_;
  Eigen::Vector2d shift_px_ = Eigen::Vector2d::Zero();
};

}  // namespace

double stances_apart_px(const MatchedPair& pair) {
  const CameraModel& a = pair[0].camera;
  const CameraModel& b = pair[1].camera;
  double most = std::numeric_limits<double>::infinity();
  if (a.width_px != b.width_px || a.height_px != b.height_px) return most;
  const ShownPlaces first(pair[0]);
  const ShownPlaces second(pair[1]);
  most = 0;
  for (const PairedTrial& trial : pair) {
    for (const FlownPoint& point : trial.flown.path) {
      const Eigen::Vector3d& x = point.x_in_table_m;
      for (const double height_m : {x.z(), 0.}) {
        const Eigen::Vector3d place(x.x(), x.y(), height_m);
        const auto by_first = first(place);
        const auto by_second = second(place);
        most = by_first && by_second
                   ? std::max(most, (*by_first - *by_second).norm())
                   : std::numeric_limits<double>::infinity();
      }
    }
  }
  return most;
}

double same_stance_px(const CameraModel& camera) {
  constexpr double kShare = 2. / 720;
  return kShare * std::min(camera.width_px, camera.height_px);
}

FlownFeed drawn_into(const FlownFeed& flown, const PairedTrial& in) {
  const ShownPlaces shown(in);
  FlownFeed moved = flown;
  moved.path.clear();
  for (FlownPoint point : flown.path) {
    const auto place = shown(point.x_in_table_m);
    if (!place) continue;
    point.film_px = point.place_px = *place;
    moved.path.push_back(point);
  }
  return moved;
}

}  // namespace evenfeed
