// SPDX-License-Identifier: MIT
#include "pictures/same_stance.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// Looks straight down from 2 m.
CameraModel camera_above(double x_m) {
  CameraModel camera;
  camera.width_px = 640;
  camera.height_px = 480;
  camera.lens.focal_px = 500;
  camera.lens.centre_u_px = 320;
  camera.lens.centre_v_px = 240;
  Eigen::Matrix3d down;
  down << 1, 0, 0, 0, -1, 0, 0, 0, -1;
  camera.camera_from_table.rotation = down;
  camera.camera_from_table.translation_m = {-x_m, 0, 2};
  return camera;
}

// A flight along the table, met by the sample half way, as a camera that was
// knocked by `knock_px` sees it.
PairedTrial trial_of(const CameraModel& camera,
                     const Eigen::Vector2d& knock_px = {0, 0}) {
  PairedTrial trial;
  trial.sample = "K";
  trial.camera = camera;
  trial.feed.number = 1;
  for (int i = 0; i <= 10; ++i) {
    FlownPoint point;
    point.t_s = 0.1 * i;
    point.x_in_table_m = {0.05 * i, 0, 0.2};
    point.place_px = *camera.project(point.x_in_table_m);
    point.film_px = point.place_px + knock_px;
    point.mark = i == 5 ? FlightMark::kContact : FlightMark::kNone;
    trial.flown.path.push_back(point);
  }
  return trial;
}

}  // namespace

TEST_CASE("cameras that stood alike are told from others") {
  const PairedTrial first = trial_of(camera_above(0));
  CHECK(same_stance_px(first.camera) == doctest::Approx(4. / 3));
  CHECK(stances_apart_px({first, first}) < 1e-9);
  // 10 mm at 1.8 m, where the ball is: nearer, so it moves more than the table.
  const double apart = stances_apart_px({first, trial_of(camera_above(0.01))});
  CHECK(apart == doctest::Approx(500 * 0.01 / 1.8));
  CHECK(apart > same_stance_px(first.camera));
  // A knock that one of the films saw.
  CHECK(stances_apart_px({first, trial_of(camera_above(0), {3, 4})}) ==
        doctest::Approx(5));
  PairedTrial larger = first;
  larger.camera.width_px = 1280;
  CHECK(std::isinf(stances_apart_px({first, larger})));
}

TEST_CASE("a flight is drawn where the other camera would have seen it") {
  const CameraModel here = camera_above(0);
  const PairedTrial into = trial_of(here, {3, 4});
  const PairedTrial from = trial_of(camera_above(0.3));
  const FlownFeed drawn = drawn_into(from.flown, into);
  REQUIRE(drawn.path.size() == from.flown.path.size());
  for (const FlownPoint& point : drawn.path) {
    const auto there = here.project(point.x_in_table_m);
    REQUIRE(there);
    CHECK((point.film_px - *there - Eigen::Vector2d(3, 4)).norm() < 1e-9);
  }
}

TEST_CASE("trials without a contact cannot be shown together") {
  const PairedTrial whole = trial_of(camera_above(0));
  CHECK(why_not_together({whole, whole}).empty());
  PairedTrial without = whole;
  without.sample = "M";
  without.feed.number = 7;
  for (FlownPoint& point : without.flown.path) {
    point.mark = FlightMark::kNone;
  }
  CHECK(why_not_together({whole, without}) ==
        "feed 7 of M was not seen to meet the sample");
}

TEST_CASE("differences tell which of the two was earlier and higher") {
  PairedTrial first = trial_of(camera_above(0));
  PairedTrial second = first;
  second.sample = "M";
  CHECK(difference_words({first, second}).empty());
  const auto set = [](PairedTrial& trial, ReturnValue id, double value) {
    trial.feed.returned[static_cast<std::size_t>(id)] = {value, 1e-4};
  };
  set(first, ReturnValue::kNetTime, 0.500);
  set(first, ReturnValue::kNetHeight, 180);
  CHECK(difference_words({first, second}) ==
        std::vector<std::string>{"at the net: M was not seen to pass it"});
  set(second, ReturnValue::kNetTime, 0.512);
  set(second, ReturnValue::kNetHeight, 149);
  CHECK(difference_words({first, second}) ==
        std::vector<std::string>{
            "at the net: K 12.0 ms (±0.3) earlier, 31 mm (±0) higher"});
}
