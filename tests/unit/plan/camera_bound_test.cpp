// SPDX-License-Identifier: MIT
#include "plan/camera_bound.h"

#include "base/error.h"
#include "base/units.h"
#include "plan/camera_survey.h"

#include <cmath>
#include <random>
#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// f = 1000 px, 1920 x 1080; the flight along x, the bounce at the origin.
CameraModel camera_at(const Eigen::Vector3d& eye_m) {
  CameraModel camera;
  camera.width_px = 1920;
  camera.height_px = 1080;
  camera.lens.focal_px = 1000;
  camera.lens.centre_u_px = 960;
  camera.lens.centre_v_px = 540;
  // Overhead it looks straight down, else at the bounce.
  const bool overhead = eye_m.y() == 0 && eye_m.x() > -1;
  const Eigen::Vector3d target(overhead ? eye_m.x() : 0, 0, 0);
  const Eigen::Vector3d up =
      eye_m.x() < -1 ? Eigen::Vector3d::UnitX() : Eigen::Vector3d::UnitY();
  camera.camera_from_table = look_at(eye_m, target, up);
  return camera;
}

// Ball of 40 mm at 5 m/s, 20 degrees, e 0.90, mu 0.20, no spin; 0.3 px.
PlannedFeed feed() {
  PlannedFeed feed;
  feed.ball_radius_m = 0.020;
  return feed;
}

struct Row {
  std::string name;
  Eigen::Vector3d eye_m;
  double view_m;
  // mm, mm, ms, mm/s, degrees, 1
  double x, y, t, speed, descent, kick;
  double x_e, t_e;                // restitution known to 0.02
  double x_a, y_a, t_a, speed_a;  // acceleration unknown by 1.5, 0.5, 1.0
};

// 60 frames per second; Cramer-Rao bounds computed apart from this program
// (numpy, the same model), rms over 20 phases of the frames.
const std::vector<Row> kRows{
    {"overhead",
     {0, 0, 2.5},
     1,
     5.77,
     .28,
     1.323,
     3.6,
     .48,
     .0038,
     5.19,
     1.165,
     6.97,
     .41,
     1.593,
     127.0},
    {"overhead",
     {0, 0, 2.5},
     2,
     4.90,
     .22,
     1.112,
     3.0,
     .21,
     .0021,
     4.52,
     1.016,
     6.56,
     .33,
     1.495,
     54.3},
    {"overhead, to the launcher",
     {-.5, 0, 2.5},
     1,
     369.27,
     .28,
     84.841,
     11.3,
     9.56,
     .1062,
     11.88,
     2.674,
     513.08,
     .41,
     117.822,
     204.3},
    {"overhead, to the launcher",
     {-.5, 0, 2.5},
     2,
     53.44,
     .22,
     12.321,
     3.2,
     1.54,
     .0172,
     8.04,
     1.828,
     447.67,
     .33,
     102.788,
     85.6},
    {"30 degrees",
     {0, -1.44, 2.5},
     1,
     1.72,
     .38,
     .382,
     3.3,
     .37,
     .0039,
     1.72,
     .378,
     2.65,
     .60,
     .597,
     122.5},
    {"30 degrees",
     {0, -1.44, 2.5},
     2,
     1.38,
     .31,
     .296,
     2.6,
     .10,
     .0021,
     1.38,
     .295,
     2.47,
     .56,
     .546,
     28.3},
    {"45 degrees",
     {0, -2.5, 2.5},
     1,
     1.58,
     .57,
     .341,
     4.1,
     .45,
     .0048,
     1.56,
     .339,
     2.44,
     .93,
     .544,
     121.6},
    {"45 degrees",
     {0, -2.5, 2.5},
     2,
     1.30,
     .47,
     .266,
     3.1,
     .11,
     .0026,
     1.29,
     .266,
     2.29,
     .87,
     .507,
     26.8},
};

// To 2 %, or half of the last digit printed.
void agree(double got, double expected, double last_digit) {
  CHECK(std::abs(got - expected) <=
        std::max(0.02 * expected, 0.5001 * last_digit));
}

}  // namespace

TEST_CASE("bounds at 60 frames per second, overhead to 45 degrees") {
  int checked = 0;
  for (const Row& row : kRows) {
    CAPTURE(row.name);
    CAPTURE(row.view_m);
    const CameraModel camera = camera_at(row.eye_m);
    SightingPlan plan;
    plan.before_m = plan.after_m = row.view_m;
    const CameraBound plain = camera_bound(camera, {0, 0}, feed(), plan);
    agree(1e3 * plain.x_m, row.x, 0.01);
    agree(1e3 * plain.y_m, row.y, 0.01);
    agree(1e3 * plain.t_s, row.t, 0.001);
    agree(1e3 * plain.speed_mps, row.speed, 0.1);
    agree(deg_from_rad(plain.descent_rad), row.descent, 0.01);
    agree(plain.kick, row.kick, 0.0001);
    plan.restitution_sd = 0.02;
    const CameraBound known = camera_bound(camera, {0, 0}, feed(), plan);
    agree(1e3 * known.x_m, row.x_e, 0.01);
    agree(1e3 * known.t_s, row.t_e, 0.001);
    plan.restitution_sd = 0;
    plan.acceleration_sd_mps2 = {1.5, 0.5, 1.0};
    const CameraBound air = camera_bound(camera, {0, 0}, feed(), plan);
    agree(1e3 * air.x_m, row.x_a, 0.01);
    agree(1e3 * air.y_m, row.y_a, 0.01);
    agree(1e3 * air.t_s, row.t_a, 0.001);
    agree(1e3 * air.speed_mps, row.speed_a, 0.1);
    ++checked;
  }
  CHECK(checked == 8);
}

TEST_CASE("places that cannot time the bounce are flagged") {
  const SightingPlan plan;
  const auto view = [&](double x, double y, const PlannedFeed& one) {
    return camera_bound(camera_at({x, y, 2.5}), {0, 0}, one, plan).view;
  };
  CHECK(view(-0.5, 0, feed()) == BounceView::kBlind);
  CHECK(view(0, 0, feed()) == BounceView::kWeak);
  CHECK(view(0, -1.44, feed()) == BounceView::kClear);
  CHECK(view(0, -2.5, feed()) == BounceView::kClear);
  // Topspin that leaves the speed along the table as it is: straight above.
  PlannedFeed rolling = feed();
  rolling.topspin_radps = 235;
  CHECK(view(0, 0, rolling) == BounceView::kBlind);
  CHECK(view(0, -2.5, rolling) == BounceView::kClear);
}

TEST_CASE("a camera that looks away sees too few") {
  CameraModel away = camera_at({0, -2.5, 2.5});
  away.camera_from_table =
      look_at({0, -2.5, 2.5}, {0, -9, 0}, Eigen::Vector3d::UnitY());
  const CameraBound bound = camera_bound(away, {0, 0}, feed(), {});
  CHECK(bound.view == BounceView::kTooFew);
  CHECK(std::isinf(bound.x_m));
  SightingPlan slow;
  slow.fps = 5;
  CHECK(camera_bound(camera_at({0, -2.5, 2.5}), {0, 0}, feed(), slow).view ==
        BounceView::kTooFew);
}

TEST_CASE("the bound scales with the noise, and more frames help") {
  const CameraModel camera = camera_at({0, -1.44, 2.5});
  SightingPlan plan;
  const CameraBound one = camera_bound(camera, {0, 0}, feed(), plan);
  plan.noise_px *= 2;
  CHECK(camera_bound(camera, {0, 0}, feed(), plan).x_m ==
        doctest::Approx(2 * one.x_m));
  plan.fps = 240;
  CHECK(camera_bound(camera, {0, 0}, feed(), plan).x_m ==
        doctest::Approx(one.x_m).epsilon(0.05));
  CHECK(one.spacing_m == doctest::Approx(5.0 / 60));
  CHECK(one.sightings_before == doctest::Approx(12.8).epsilon(0.01));
  CHECK(one.sightings_after == doctest::Approx(14.8).epsilon(0.01));
}

TEST_CASE("a bounce that is heard is known along the table from anywhere") {
  SightingPlan plan;
  plan.phases = 1;  // then information on the time adds up exactly
  for (const Row& row : kRows) {
    CAPTURE(row.name);
    const CameraModel camera = camera_at(row.eye_m);
    plan.heard_sd_s = 0;
    const CameraBound seen = camera_bound(camera, {0, 0}, feed(), plan);
    plan.heard_sd_s = 3e-4;
    const CameraBound heard = camera_bound(camera, {0, 0}, feed(), plan);
    CHECK(1 / (heard.t_s * heard.t_s) ==
          doctest::Approx(1 / (seen.t_s * seen.t_s) + 1 / (3e-4 * 3e-4)));
    // The place follows the time at 4.3 to 4.7 m/s; what is left is small.
    CHECK(heard.x_m < 1.55e-3);
    CHECK(heard.x_m < seen.x_m);
    CHECK(heard.y_m <= seen.y_m);
  }
}

TEST_CASE("where sight is weak the survey advises to listen") {
  CameraSurveyOptions options;
  options.camera = camera_at({0, 0, 2.5});
  options.feed = feed();
  options.zone = {{-0.3, -0.3}, {0.3, 0.3}};
  options.places = 0;
  options.plan.phases = 4;
  const auto tells = [](const CameraSurvey& survey, std::string_view words) {
    return std::any_of(survey.advice.begin(),
                       survey.advice.end(),
                       [&](const std::string& line) {
                         return line.find(words) != std::string::npos;
                       });
  };
  CHECK(tells(survey_camera(options), "Keep the film's sound"));
  CHECK(survey_camera(options).bounces[7].heard.x_m < 1.6e-3);
  // Not where no tick can be told from another.
  options.camera = camera_at({-0.5, 0, 2.5});
  CHECK_FALSE(tells(survey_camera(options), "Keep the film's sound"));
  CHECK(tells(survey_camera(options), "nor which of the film's sounds"));
  // Nor where sight is enough.
  options.camera = camera_at({0, -2.5, 2.5});
  CHECK_FALSE(tells(survey_camera(options), "Keep the film's sound"));
}

TEST_CASE("the survey advises against a blind place") {
  CameraSurveyOptions options;
  options.camera = camera_at({-0.5, 0, 2.5});
  options.feed = feed();
  options.zone = {{-0.3, -0.3}, {0.3, 0.3}};
  options.places = 4;
  options.plan.phases = 4;
  const CameraSurvey survey = survey_camera(options);
  CHECK(survey.bounces.size() == 15);
  CHECK(survey.elsewhere.size() == 16);
  REQUIRE(survey.advice.size() >= 2);
  CHECK(survey.advice[0].rfind("Degenerate", 0) == 0);
  CHECK(survey.advice[1].find("would be known to") != std::string::npos);
  options.camera = camera_at({0, -2.5, 2.5});
  options.plan.phases = 2;
  CHECK(survey_camera(options).advice.empty());
  // A slow shutter, a small ball, a rolling shutter.
  options.camera.exposure_s = 0.02;
  options.camera.readout_s = 0.01;
  options.camera.lens.focal_px = 300;
  CHECK(survey_camera(options).advice.size() >= 3);
}

TEST_CASE("plans that cannot be") {
  const CameraModel camera = camera_at({0, -2.5, 2.5});
  SightingPlan plan;
  plan.noise_px = 0;
  CHECK_THROWS_AS(camera_bound(camera, {0, 0}, feed(), plan), UsageError);
  PlannedFeed flat = feed();
  flat.descent_rad = 0;
  CHECK_THROWS_AS(camera_bound(camera, {0, 0}, flat, {}), UsageError);
}
