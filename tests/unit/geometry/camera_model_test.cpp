// SPDX-License-Identifier: MIT
#include "geometry/camera_model.h"

#include "base/error.h"
#include "geometry/bench.h"
#include "geometry/sightings_file.h"
#include "support/table_camera.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace evenfeed;

namespace {

CameraModel camera() { return table_camera({0.4, 0.1, 2.5}, 0.02); }

}  // namespace

TEST_CASE("a picture point and its line of sight agree, distortion and all") {
  const CameraModel model = camera();
  int points = 0;
  for (double x = -1.3; x <= 1.3; x += 0.4) {
    for (double y = -0.7; y <= 0.7; y += 0.35) {
      const Eigen::Vector3d point(x, y, 0.12);
      const auto seen = model.project(point);
      REQUIRE(seen);
      const auto back = model.meet_plane(*seen, 0.12);
      REQUIRE(back);
      CHECK((*back - point).norm() < 1e-9);
      ++points;
    }
  }
  CHECK(points == 35);
}

TEST_CASE("looking down from y up shows left of the flight at the top") {
  const CameraModel model = camera();
  const auto left = model.project({0, 0.5, 0});
  const auto far = model.project({0.5, 0, 0});
  const auto centre = model.project({0, 0, 0});
  REQUIRE(left);
  REQUIRE(far);
  CHECK(left->y() < centre->y());
  CHECK(far->x() > centre->x());
  CHECK((model.eye_in_table_m() - Eigen::Vector3d(0.4, 0.1, 2.5)).norm() <
        1e-12);
}

TEST_CASE("behind the camera nothing is seen and no plane is met") {
  const CameraModel model = camera();
  CHECK_FALSE(model.project({0, 0, 3}));
  CHECK_FALSE(model.meet_plane({640, 360}, 3.0));
}

TEST_CASE("the middle of the exposure moves down the rows") {
  CameraModel model = camera();
  model.exposure_s = 0.004;
  model.readout_s = 0.018;
  CHECK(model.mid_exposure_s(1.0, 0) == doctest::Approx(1.002));
  CHECK(model.mid_exposure_s(1.0, 360) == doctest::Approx(1.011));
}

TEST_CASE("a bench reads back as it was written") {
  Bench bench;
  bench.camera = camera();
  bench.camera.exposure_s = 0.002;
  bench.surface_name = "a \"table\"";
  bench.residual_px = 0.123;
  bench.landmarks = 42;
  bench.covariance(0, 0) = 1.0 / 3;
  const Bench back = parse_bench(bench_text(bench), "bench.toml");
  CHECK(back.surface_name == bench.surface_name);
  CHECK(back.covariance(0, 0) == bench.covariance(0, 0));
  CHECK(back.camera.lens.k1 == bench.camera.lens.k1);
  CHECK((back.camera.eye_in_table_m() - bench.camera.eye_in_table_m()).norm() <
        1e-12);
}

TEST_CASE("a shutter that is not known is told from one without rows") {
  Bench bench;
  bench.camera = camera();
  const Bench unknown = parse_bench(bench_text(bench), "bench.toml");
  CHECK_FALSE(unknown.camera.exposure_s);
  CHECK_FALSE(unknown.camera.readout_s);
  CHECK(unknown.camera.mid_exposure_s(1.0, 360) == 1.0);
  bench.camera.exposure_s = 0;
  bench.camera.readout_s = 0;
  const Bench global = parse_bench(bench_text(bench), "bench.toml");
  CHECK(global.camera.exposure_s == 0.0);
  CHECK(global.camera.readout_s == 0.0);
  bench.camera.readout_s = -0.001;
  CHECK_THROWS_AS(parse_bench(bench_text(bench), "bench.toml"), InputError);
}

TEST_CASE("a bench with an unknown key or no number is refused by its line") {
  Bench bench;
  bench.camera = camera();
  const std::string text = bench_text(bench);
  const auto refusal = [](const std::string& bad) {
    try {
      (void)parse_bench(bad, "bench.toml");
    } catch (const InputError& error) {
      return std::string(error.what());
    }
    return std::string();
  };
  CHECK(refusal(text + "\n[camra]\nx = 1\n").find("'camra'") !=
        std::string::npos);
  const auto at = text.find("focal_px = ");
  std::string nan = text;
  nan.replace(at, text.find('\n', at) - at, "focal_px = nan");
  CHECK(refusal(nan).find("bench.toml:") == 0);
  CHECK(refusal(nan).find("camera.focal_px") != std::string::npos);
}

TEST_CASE("a focal length that no lens has is refused by name") {
  CameraModel camera = table_camera({0, -1, 2.5}, 0);
  CHECK_NOTHROW(camera.check());
  for (const double focal_px : {1e300, 1e6, 10.0, 0.0}) {
    CAPTURE(focal_px);
    camera.lens.focal_px = focal_px;
    CHECK_THROWS_WITH(camera.check(), doctest::Contains("focal_px"));
  }
}

TEST_CASE("sightings read back, and a bad cell is named") {
  std::vector<Sighting> sightings(2);
  sightings[0].t_s = 1.25;
  sightings[0].centre_px = {100.5, 200.25};
  sightings[1].sigma_px = 0.1;
  sightings[1].track = 3;
  sightings[1].frame = 75;
  const auto back =
      read_sightings(CsvTable::parse(sightings_text(sightings), "s.csv"));
  REQUIRE(back.size() == 2);
  CHECK(back[0].centre_px == sightings[0].centre_px);
  CHECK(back[0].track == -1);
  CHECK(back[1].sigma_px == doctest::Approx(0.1));
  CHECK(back[1].track == 3);
  CHECK(back[0].frame == -1);
  CHECK(back[1].frame == 75);
  CHECK_THROWS_WITH_AS(
      read_sightings(CsvTable::parse("t_s,u_px,v_px\n1,2,x\n", "s.csv")),
      doctest::Contains("s.csv:2, column 'v_px'"),
      InputError);
  for (const char* frame : {"-1", "1.5", "1e12"}) {
    const std::string text =
        fmt::format("t_s,u_px,v_px,frame\n1,2,3,{}\n", frame);
    CHECK_THROWS_WITH_AS(read_sightings(CsvTable::parse(text, "s.csv")),
                         doctest::Contains("is not the number of a frame"),
                         InputError);
  }
  CHECK_THROWS_AS(read_sightings(CsvTable::parse("t_s,u_px\n1,2\n", "s.csv")),
                  InputError);
}
