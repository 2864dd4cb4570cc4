// SPDX-License-Identifier: MIT
#include "calibration/camera_solver.h"

#include "base/random.h"
#include "calibration/plane_camera.h"
#include "support/calibration_profile.h"

#include <cmath>
#include <random>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

Surface solver_table() {
  return load_calibration_profile(EVENFEED_ROOT "/profiles/table-tennis.toml")
      .surface;
}

CameraModel camera_at(const Eigen::Vector3d& eye) {
  CameraModel camera = plain_camera(1280, 720, 900);
  camera.lens.k1 = -0.06;
  camera.lens.k2 = 0.01;
  camera.camera_from_table = look_at(eye, {0.05, 0.02, 0}, {0, 1, 0}, 0.03);
  return camera;
}

// Cuts as the picture would give them: an error per cut and one per line.
std::vector<LineCut> cuts_of(const CameraModel& camera,
                             const std::vector<SurfaceLine>& lines,
                             double cut_px,
                             double line_px,
                             std::uint64_t seed) {
  auto engine = derived_engine(seed, "cuts");
  std::normal_distribution<double> normal(0, 1);
  std::vector<LineCut> cuts;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const double common = line_px * normal(engine);
    for (double along = 0.02; along < 1; along += 0.02) {
      const auto low = camera.project(lines[i].low_m(along));
      const auto high = camera.project(lines[i].seen_high_m(along));
      const auto next = camera.project(lines[i].low_m(along + 1e-4));
      if (!low || !high || !next || !camera.in_picture(*low)) continue;
      const Eigen::Vector2d t = (*next - *low).normalized();
      LineCut cut;
      cut.line = static_cast<int>(i);
      cut.along = along;
      cut.normal = {-t.y(), t.x()};
      cut.measured_px =
          (*low + *high) / 2 + (common + cut_px * normal(engine)) * cut.normal;
      cuts.push_back(cut);
    }
  }
  return cuts;
}

CameraModel rough(const CameraModel& camera) {
  Eigen::Matrix<double, kCameraParameters, 1> off;
  off << 40, 0.06, -0.01, 0.01, -0.015, 0.02, 0.03, -0.04, 0.08;
  return moved_camera(camera, off);
}

}  // namespace

TEST_CASE("without noise the truth comes back from every kind of view") {
  const auto surface = solver_table();
  auto lines = painted_lines(surface);
  int run = 0;
  for (const Eigen::Vector3d& eye : {Eigen::Vector3d(0.3, 0.1, 2.6),
                                     Eigen::Vector3d(-0.4, -2.3, 2.3),
                                     Eigen::Vector3d(1.8, -1.9, 2.0)}) {
    const CameraModel truth = camera_at(eye);
    auto all = lines;
    all.push_back(net_tape(surface.net, 0.015, 0.001, eye.x()));
    CameraSolverOptions options;
    // Priors at the truth do not pull.
    options.k1 = {truth.lens.k1, 0.1};
    options.k2 = {truth.lens.k2, 0.05};
    options.log_focal = {std::log(900 / 1280.0), 0.7};
    const CameraSolution solution = solve_camera(
        rough(truth), all, cuts_of(truth, all, 0, 0, 1), {}, options);
    REQUIRE(solution.solved);
    CHECK((solution.camera.eye_in_table_m() - eye).norm() < 1e-6);
    CHECK(std::abs(solution.camera.lens.focal_px - 900) < 1e-3);
    CHECK(solution.cut_rms_px < 1e-6);
    ++run;
  }
  CHECK(run == 3);
}

// Standardised error of where a point above the table is seen, along u.
double picture_z(const CameraModel& truth,
                 const CameraSolution& solution,
                 const Eigen::Vector3d& at) {
  Eigen::Matrix<double, kCameraParameters, 1> gradient;
  for (int i = 0; i < kCameraParameters; ++i) {
    Eigen::Matrix<double, kCameraParameters, 1> delta;
    delta.setZero();
    delta[i] = 1e-5;
    gradient[i] = (moved_camera(solution.camera, delta).project(at)->x() -
                   moved_camera(solution.camera, -delta).project(at)->x()) /
                  2e-5;
  }
  const double sd = std::sqrt(gradient.dot(solution.covariance * gradient));
  return (solution.camera.project(at)->x() - truth.project(at)->x()) / sd;
}

TEST_CASE("at rated noise errors match their standard deviations") {
  const auto lines = painted_lines(solver_table());
  const Eigen::Vector3d eye(-0.4, -2.3, 2.3);
  const CameraModel truth = camera_at(eye);
  CameraSolverOptions options;
  options.line_sigma_px = 0.05;
  options.cut_sigma_px = 0.1;
  double focal_square = 0, picture_square = 0;
  constexpr int kRuns = 60;
  for (int run = 0; run < kRuns; ++run) {
    const auto cuts = cuts_of(truth, lines, 0.1, 0.05, 100 + run);
    const CameraSolution solution =
        solve_camera(truth, lines, cuts, {}, options);
    REQUIRE(solution.solved);
    focal_square += std::pow(solution.camera.lens.focal_px - 900, 2) /
                    solution.marginal(0, 0) / kRuns;
    picture_square +=
        std::pow(picture_z(truth, solution, {0.7, 0.2, 0.25}), 2) / kRuns;
    CHECK(solution.inliers > 0.95);
    CHECK(solution.chi2_per_freedom == doctest::Approx(1).epsilon(0.4));
  }
  // 60 squares of a standard normal average 1 +- 0.18. The prior of the
  // principal point is wider than the truth's, which is why less may come.
  CHECK(focal_square > 0.2);
  CHECK(focal_square < 1.6);
  CHECK(picture_square > 0.3);
  CHECK(picture_square < 1.8);
}

TEST_CASE("a height hint takes the slack out of a view from straight above") {
  const auto lines = painted_lines(solver_table());
  const CameraModel truth = camera_at({0.05, 0.02, 2.6});
  const auto cuts = cuts_of(truth, lines, 0.1, 0.05, 3);
  CameraSolverOptions options;
  const auto free_fit = solve_camera(truth, lines, cuts, {}, options);
  options.height_m = Expected{2.6, 0.01};
  const auto hinted = solve_camera(truth, lines, cuts, {}, options);
  REQUIRE(free_fit.solved);
  REQUIRE(hinted.solved);
  // One cannot tell 1 % more focal length from 1 % more height here.
  CHECK(std::sqrt(free_fit.covariance(0, 0)) > 20);
  CHECK(std::sqrt(hinted.covariance(0, 0)) < 5);
  CHECK(std::abs(hinted.camera.eye_in_table_m().z() - 2.6) < 0.03);
}

TEST_CASE("cuts of another line do not carry the fit away") {
  const auto lines = painted_lines(solver_table());
  const Eigen::Vector3d eye(-0.4, -2.3, 2.3);
  const CameraModel truth = camera_at(eye);
  auto cuts = cuts_of(truth, lines, 0.05, 0, 8);
  int spoiled = 0;
  for (std::size_t i = 0; i < cuts.size(); i += 9) {
    cuts[i].measured_px += 3 * cuts[i].normal;
    ++spoiled;
  }
  REQUIRE(spoiled > 15);
  const auto solution = solve_camera(truth, lines, cuts, {}, {});
  REQUIRE(solution.solved);
  CHECK((solution.camera.eye_in_table_m() - eye).norm() < 0.005);
  CHECK(solution.inliers < 0.92);
}

TEST_CASE("too little to solve from is said, not guessed") {
  const auto lines = painted_lines(solver_table());
  const CameraModel truth = camera_at({0.3, 0.1, 2.6});
  auto cuts = cuts_of(truth, lines, 0, 0, 1);
  cuts.resize(6);
  const auto solution = solve_camera(truth, lines, cuts, {}, {});
  CHECK_FALSE(solution.solved);
  CHECK_FALSE(solution.message.empty());
}
