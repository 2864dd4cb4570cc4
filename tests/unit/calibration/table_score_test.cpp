// SPDX-License-Identifier: MIT
// The score of the true camera, and of parts of the table taken for the whole.
#include "calibration/table_score.h"

#include "calibration/table_readings.h"
#include "unit/calibration/small_view.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

CameraModel camera() {
  return small_camera(480, {1.7, -2.1, 2.1}, {0, 0.1, 0});
}

const cv::Mat& picture() {
  static const cv::Mat drawn = finely_drawn(camera(), 5);
  return drawn;
}

// Unrefined: the lines where the camera has them, the net's tape unseen.
TableScore score_of(const CameraModel& camera, const Surface& surface) {
  RefinedCamera fit;
  fit.solution.camera = camera;
  fit.lines = painted_lines(surface);
  fit.support.resize(fit.lines.size());
  static const std::vector<BrightBar> bars = find_bright_bars(picture());
  return score_table(picture(), fit, surface, bars);
}

// The table as far as its centre line, which would then be a side line.
Surface half_as_wide() {
  Surface narrow = table_tennis_surface();
  std::erase_if(narrow.lines, [](const PaintedLine& line) {
    return line.low_m.y() > 0.1;  // the left side line
  });
  for (PaintedLine& line : narrow.lines) {
    line.high_m.y() = std::min(line.high_m.y(), 0.0015);
    line.low_m.y() += narrow.width_m / 4;
    line.high_m.y() += narrow.width_m / 4;
  }
  narrow.width_m /= 2;
  return narrow;
}

CameraModel camera_moved_by(CameraModel camera, const Eigen::Vector3d& by) {
  camera.camera_from_table.translation_m +=
      camera.camera_from_table.rotation * by;
  return camera;
}

}  // namespace

TEST_CASE("the table itself is found, ends at its border and is not alike") {
  const TableScore score = score_of(camera(), table_tennis_surface());
  CAPTURE(score.words());
  CHECK(score.lines > 25);
  CHECK(score.ends > 0);
  CHECK(score.border > 0);
  CHECK(score.goes_on.empty());
  CHECK(score.words().find("nats") != std::string::npos);
}

TEST_CASE("the centre line taken for a side: lines go on, shades are alike") {
  const Surface narrow = half_as_wide();
  const CameraModel shifted =
      camera_moved_by(camera(), {0, -table_tennis_surface().width_m / 4, 0});
  const TableScore part = score_of(shifted, narrow);
  CAPTURE(part.words());
  CHECK(part.lines > 15);
  CHECK(part.ends < -3);
  CHECK_FALSE(part.goes_on.empty());
  CHECK(part.total() < score_of(camera(), table_tennis_surface()).total() - 10);
}

TEST_CASE("a line goes on though its other end lies behind the camera") {
  const CameraModel over = camera_over_table();
  Surface shorter = table_tennis_surface();
  for (PaintedLine& line : shorter.lines) {
    line.high_m.x() = std::min(line.high_m.x(), 0.6);
  }
  std::erase_if(shorter.lines, [](const PaintedLine& line) {
    return line.low_m.x() > 0.5 || line.high_m.x() < -1;
  });
  const cv::Mat seen = finely_drawn(over, 5);
  RefinedCamera fit;
  fit.solution.camera = over;
  fit.lines = painted_lines(shorter);
  fit.support.resize(fit.lines.size());
  CHECK_FALSE(score_table(seen, fit, shorter, {}).goes_on.empty());
}

TEST_CASE(
    "a bar on the bare surface counts against it, a tape partly seen for") {
  const Surface& table = table_tennis_surface();
  RefinedCamera fit;
  fit.solution.camera = camera();
  fit.lines = painted_lines(table);
  fit.lines.push_back(net_tape(table.net, 0.015, 0.01, 1));
  fit.support.resize(fit.lines.size());
  const auto score_with = [&](int tape_found, const auto& bars) {
    fit.support.back() = {30, tape_found};
    return score_table(picture(), fit, table, bars);
  };
  const std::vector<BrightBar> none;
  CHECK(score_with(12, none).net > 1);
  CHECK(score_with(9, none).net < 0);
  BrightBar stray;
  stray.from_px = camera().project({0.3, 0.3, 0}).value();
  stray.to_px = camera().project({1.2, 0.3, 0}).value();
  const double bare = score_with(12, none).bare;
  CHECK(bare > 0.5);
  CHECK(score_with(12, std::vector<BrightBar>{stray}).bare < bare - 1);
  CHECK(score_with(12, std::vector<BrightBar>{stray}).total() <
        score_with(12, none).total() - 1);
}

TEST_CASE("a camera that misses the lines has nothing for it") {
  const TableScore off = score_of(camera_moved_by(camera(), {0.15, 0.12, 0}),
                                  table_tennis_surface());
  CAPTURE(off.words());
  CHECK(off.total() < 0);
}

TEST_CASE("a square is read turned by a right angle too") {
  Surface square;
  square.length_m = square.width_m = 1.6;
  CameraModel seen = camera();
  seen.lens.k1 = seen.lens.k2 = 0;
  const auto corner = [&](const CameraModel& by, double x, double y) {
    const auto p = by.project({x * 0.8, y * 0.8, 0});
    REQUIRE(p);
    return *p;
  };
  int turned = 0, others = 0;
  for (const CameraModel& other : other_readings(seen, square)) {
    ++others;
    // As far as the ladder of focal lengths goes.
    if ((corner(other, -1, 1) - corner(seen, -1, -1)).norm() < 8 &&
        (corner(other, 1, 1) - corner(seen, -1, 1)).norm() < 8) {
      ++turned;
    }
  }
  CHECK(others >= 1);
  CHECK(turned == 1);
}

TEST_CASE("a view and its half turn show the same table") {
  const Surface& table = table_tennis_surface();
  CHECK(shows_same_table(camera(), camera(), table, 0.5));
  CHECK_FALSE(shows_same_table(
      camera(), camera_moved_by(camera(), {0.1, 0, 0}), table, 3));
  CHECK(overlap(camera(), camera_moved_by(camera(), {0.5, 0, 0}), table));
  CHECK_FALSE(overlap(camera(), camera_moved_by(camera(), {4, 0, 0}), table));
}
