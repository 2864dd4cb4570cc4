// SPDX-License-Identifier: MIT
#include "calibration/calibrate_film.h"

#include "unit/calibration/small_view.h"
#include "unit/film/made_film.h"

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("a film without a ball says so when the ends look alike") {
  Frame still;
  still.luma =
      finely_drawn(small_camera(470, {0.25, 0.1, 2.5}, {0.05, 0.02, 0}), 7);
  still.blue = cv::Mat(180, 320, CV_8UC1, cv::Scalar(128));
  still.red = still.blue.clone();
  const MadeFilm film("no-ball", std::vector<Frame>(30, still));
  const auto path =
      film.coded("film.mp4", "-c:v libx264 -crf 8 -pix_fmt yuv420p ");
  const auto calibration = calibrate_film(path, table_tennis_surface(), {});
  const std::string& message = calibration.result.message;
  CAPTURE(message);
  CHECK(calibration.result.status == CalibrationStatus::kWhichEnd);
  CHECK(message.find("no ball is seen flying over the table in 30 frames") ==
        0);
  CHECK(message.find("--launcher-end") != std::string::npos);
}

TEST_CASE("a still picture is calibrated once the launcher's end is said") {
  Frame still;
  still.luma =
      finely_drawn(small_camera(470, {0.25, 0.1, 2.5}, {0.05, 0.02, 0}), 7);
  still.blue = cv::Mat(180, 320, CV_8UC1, cv::Scalar(128));
  still.red = still.blue.clone();
  const MadeFilm film("still", {still});
  const auto path = film.coded("still.png", "-frames:v 1 ");
  const auto open = calibrate_film(path, table_tennis_surface(), {});
  const std::string& message = open.result.message;
  CAPTURE(message);
  CHECK(open.result.status == CalibrationStatus::kWhichEnd);
  CHECK(message.find("it is a still picture, which shows no flight") == 0);
  CHECK(message.find("--launcher-end") != std::string::npos);
  CHECK(message.find("slow") == std::string::npos);
  CalibrationOptions options;
  options.launcher_end = LauncherEnd::kLeft;
  const auto said = calibrate_film(path, table_tennis_surface(), options);
  CAPTURE(said.result.message);
  REQUIRE(said.result.done());
  const Eigen::Vector3d off = said.result.bench.camera.eye_in_table_m() -
                              Eigen::Vector3d(0.25, 0.1, 2.5);
  for (int i = 0; i < 3; ++i) {
    CHECK(std::abs(off[i]) < 3 * said.result.eye_sd_m[i] + 0.002);
  }
}

TEST_CASE("a picture that wanders is named when no table is found") {
  cv::Mat scene(220, 360, CV_8UC1, cv::Scalar(90));
  cv::RNG random(3);
  for (int i = 0; i < 60; ++i) {
    const cv::Point at(random.uniform(0, 340), random.uniform(0, 200));
    cv::rectangle(scene,
                  cv::Rect(at, cv::Size(random.uniform(4, 40), 12)),
                  cv::Scalar(random.uniform(40, 210)),
                  -1);
  }
  const auto film_of = [&](const char* name, double reach_px) {
    std::vector<Frame> frames;
    for (int i = 0; i < 40; ++i) {
      const int u = static_cast<int>(20 + reach_px * std::sin(0.9 * i));
      const int v = static_cast<int>(20 + reach_px * std::cos(0.7 * i));
      Frame frame;
      frame.luma = scene(cv::Rect(u, v, 320, 180)).clone();
      frame.blue = cv::Mat(90, 160, CV_8UC1, cv::Scalar(128));
      frame.red = frame.blue.clone();
      frames.push_back(frame);
    }
    const MadeFilm film(name, frames);
    const auto path = film.coded("film.mp4", "-c:v libx264 -crf 12 ");
    return calibrate_film(path, table_tennis_surface(), {}).result.message;
  };
  const std::string wandering = film_of("wandering", 12);
  CAPTURE(wandering);
  CHECK(wandering.find("does not stand still") != std::string::npos);
  CHECK(wandering.find("stabilisation") != std::string::npos);
  CHECK(wandering.find("film again): no ") != std::string::npos);
  const std::string standing = film_of("standing", 0);
  CAPTURE(standing);
  CHECK(standing.find("stand still") == std::string::npos);
}
