// SPDX-License-Identifier: MIT
// Which reading of a picture stands.
#include "calibration/table_choice.h"

#include "calibration/calibrate_still.h"
#include "calibration/calibration.h"
#include "unit/calibration/small_view.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

ReadingVerdict reading(double nats, int confirmed = 5) {
  ReadingVerdict verdict;
  verdict.score_nats = nats;
  verdict.confirmed = confirmed;
  verdict.both_directions = true;
  verdict.cuts = 100;
  return verdict;
}

// Every line seen, the net's tape in so many of 30 cuts.
ReadingVerdict with_tape_seen(int found) {
  const Surface& table = table_tennis_surface();
  std::vector<SurfaceLine> lines = painted_lines(table);
  RefinedCamera fit;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    fit.support.push_back({30, 30});
  }
  lines.push_back(net_tape(table.net, 0.015, 0.01, 0));
  fit.support.push_back({30, found});
  return weigh(fit, lines);
}

}  // namespace

TEST_CASE("the reading that explains more stands") {
  CHECK(better(reading(30), reading(20)));
  CHECK_FALSE(better(reading(20), reading(30)));
}

// In real halls a contradicted rival within three nats made a right one
// ambiguous.
TEST_CASE("what is contradicted explains less than its lines say") {
  ReadingVerdict contradicted = reading(32);
  contradicted.against = "lines run across it";
  CHECK(better(reading(30), contradicted));
  CHECK(reading(30).nats() - contradicted.nats() == doctest::Approx(2));
  CHECK(better(contradicted, reading(25)));
}

TEST_CASE("a far table with two lines does not stand before one with five") {
  const ReadingVerdict far_table = reading(24, 2);
  CHECK_FALSE(far_table.shows_enough());
  CHECK(better(reading(18), far_table));
  CHECK_FALSE(better(far_table, reading(18)));
}

// The net's tape taken for an end line shows more lines than the half that is
// in view, and misses two.
TEST_CASE("what misses two lines comes after what misses none") {
  ReadingVerdict misses = reading(24);
  misses.missing = 2;
  CHECK_FALSE(misses.could_stand());
  CHECK(better(reading(18), misses));
  CHECK(misses.nats() == doctest::Approx(20));
  misses.missing = 1;
  CHECK(better(misses, reading(18)));
  CHECK(misses.nats() == doctest::Approx(24));
}

// Neither could stand; the one that shows enough says what is missing.
TEST_CASE("what misses two lines comes before what shows but two") {
  ReadingVerdict misses = reading(24);
  misses.missing = 2;
  const ReadingVerdict far_table = reading(24, 2);
  REQUIRE(misses.nats() < far_table.nats());
  CHECK(better(misses, far_table));
  CHECK_FALSE(better(far_table, misses));
}

TEST_CASE("a camera that cannot be comes last") {
  ReadingVerdict impossible = reading(50);
  impossible.cannot_be = true;
  impossible.against = "no such lens";
  CHECK(better(reading(12, 2), impossible));
}

TEST_CASE("a sagging net's tape is there when a third of it is seen") {
  CHECK(with_tape_seen(12).missing == 0);
  CHECK(with_tape_seen(9).missing == 1);
}

// The net's tape read as an end line, with the true one across the surface,
// shows 14 nats and nothing that contradicts it.
TEST_CASE("a table is believed from 15 nats on, where nothing contradicts it") {
  TableCandidate candidate;
  candidate.verdict = reading(15.5);
  CHECK(candidate.believable());
  candidate.verdict = reading(14.5);
  CHECK_FALSE(candidate.believable());
  candidate.verdict = reading(30);
  candidate.verdict.missing = kMostMissing + 1;
  CHECK_FALSE(candidate.believable());
  candidate.verdict = reading(30);
  candidate.verdict.against = "lines run across it";
  CHECK_FALSE(candidate.believable());
}

// Of the two ways the balls may fly one turns the table, which is looked for
// anew then; meanwhile two of its lines are gone.
TEST_CASE("a table that loses its lines when it is turned is refused") {
  const CameraModel camera = small_camera(480, {1.7, -2.1, 2.1}, {0, 0.1, 0});
  cv::Mat picture = finely_drawn(camera, 5);
  const Surface& table = table_tennis_surface();
  const auto open = calibrate_still(picture, table, {});
  REQUIRE(open.status == CalibrationStatus::kWhichEnd);
  for (int v = 0; v < picture.rows; ++v) {
    for (int u = 0; u < picture.cols; ++u) {
      const auto x = camera.meet_plane({double(u), double(v)}, 0);
      const bool gone = x && (std::abs(x->y()) < 0.04 || x->y() > 0.71);
      if (gone) picture.at<uchar>(v, u) = 60;
    }
  }
  int done = 0, refused = 0;
  for (const double along_x : {1.0, -1.0}) {
    const auto settled = settle_calibration(open, picture, table, {}, along_x);
    done += settled.done();
    if (settled.done()) continue;
    refused +=
        settled.status == CalibrationStatus::kBadFit &&
        settled.message.find("not where the others") != std::string::npos;
  }
  CHECK(done == 1);
  CHECK(refused == 1);
}

// A wrong reading that fits no flat table is not to be saved by an axis beside
// the picture's middle, where another one needs none.
TEST_CASE("lines that fit when they are read otherwise are told") {
  const Surface& table = table_tennis_surface();
  const CameraModel camera = small_camera(480, {1.7, -2.1, 2.1}, {0, 0.1, 0});
  TableCandidate right;
  right.fit = refine_camera(
      finely_drawn(camera, 5), camera, table, painted_lines(table), {}, {}, 8);
  right.verdict = reading(20);
  TableCandidate best = right;
  best.fit.solution.camera.camera_from_table.translation_m +=
      camera.camera_from_table.rotation * Eigen::Vector3d(0.5, 0, 0);
  CHECK(fits_otherwise({best, right}, best, table, 1));
  CHECK_FALSE(fits_otherwise({best, right}, best, table, 1e-4));
  CHECK_FALSE(fits_otherwise({best, right}, right, table, 1e-4));
  CHECK_FALSE(fits_otherwise({right}, right, table, 1));
  right.verdict.score_nats = 10;
  CHECK_FALSE(fits_otherwise({best, right}, best, table, 1));
}
