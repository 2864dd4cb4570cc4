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
