// SPDX-License-Identifier: MIT
#include "pipeline/camera_moves.h"

#include "unit/pipeline/pushed_camera.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

Surface table() {
  Surface surface;
  surface.length_m = 2.74;
  surface.width_m = 1.525;
  return surface;
}

}  // namespace

TEST_CASE("steps that follow each other are one move, small ones none") {
  const auto stances =
      steps({10, 10.5, 11, 30, 50}, {0.001, 0.002, 0.003, 0.0035, 0.010});
  const auto moves = camera_moves(calibrated(), stances, table());
  REQUIRE(moves.size() == 2);
  CHECK(moves[0].from_s == 10);
  CHECK(moves[0].until_s == 11);
  CHECK(moves[0].moved_m == doctest::Approx(0.003).epsilon(0.001));
  CHECK(moves[1].from_s == 50);
  CHECK(moves[1].until_s == 50);
  CHECK(moves[1].moved_m == doctest::Approx(0.0065).epsilon(0.001));
  CHECK(camera_moves(calibrated(), {}, table()).empty());
}

TEST_CASE("a move is told with its size and its time") {
  const auto words = words_on_moves({{0, 0, 0.0021, 0.0021},
                                     {72.5, 72.5, 0.0052, 0.0052, 1},
                                     {80, 95.25, 0.009, 0.009, 5}});
  REQUIRE(words.size() == 3);
  CHECK(words[0].find("2.1 mm") != std::string::npos);
  CHECK(words[0].find("calibrated") != std::string::npos);
  CHECK(words[1].find("5.2 mm (at the table) at 1:12.5") != std::string::npos);
  CHECK(words[2].find("from 1:20.0 to 1:35.") != std::string::npos);
}

TEST_CASE("a picture that comes back again is called stabilised or zoomed") {
  // What is left at the end is nothing.
  const auto stances = steps({10, 12, 14, 16}, {0.008, 0.0, 0.008, 0.0});
  const auto moves = camera_moves(calibrated(), stances, table());
  REQUIRE(moves.size() == 1);
  CHECK(moves[0].to_and_fro());
  CHECK(moves[0].steps == 4);
  CHECK(moves[0].most_m == doctest::Approx(0.008).epsilon(0.001));
  const auto words = words_on_moves(moves);
  CHECK(words[0].find("digital stabilisation") != std::string::npos);
  CHECK(words[0].find("8.0 mm") != std::string::npos);
  CHECK(words[0].find("0:10.0 to 0:16.0") != std::string::npos);
  CHECK(words[0].find("zoom: lock") == std::string::npos);
}

TEST_CASE("a zoom is told from a push to the side") {
  CameraModel zoomed = calibrated();
  zoomed.lens.focal_px *= 1.02;
  const auto moves = camera_moves(calibrated(), {{10, zoomed, 0.02}}, table());
  REQUIRE(moves.size() == 1);
  CHECK(moves[0].growth == doctest::Approx(1.02).epsilon(0.002));
  CHECK_FALSE(moves[0].to_and_fro());
  const auto words = words_on_moves(moves);
  CHECK(words[0].find("grew by 2.0 %, as in a zoom") != std::string::npos);
}

TEST_CASE("where the camera stood at the start is told once") {
  const auto moves = camera_moves(
      calibrated(), steps({0, 0, 30}, {0.010, 0.012, 0.012}), table());
  REQUIRE(moves.size() == 1);
  CHECK(moves[0].moved_m == doctest::Approx(0.012).epsilon(0.001));
}

TEST_CASE("feeds near a knock say so, others do not") {
  std::vector<Feed> feeds(5);
  const double bounces_s[] = {9.3, 10.2, 12.0, 14.0, 20.3};
  for (std::size_t i = 0; i < feeds.size(); ++i) {
    feeds[i].t_bounce_s = bounces_s[i];
  }
  feeds[2].note = "outside the landing zone";
  // The second step is too small to matter, the first is where it was
  // calibrated elsewhere.
  note_moves(steps({0, 10, 20}, {0.01, 0.016, 0.017}), 3, feeds);
  CHECK(feeds[0].note.empty());
  CHECK(feeds[1].note == "the camera moved while it flew");
  CHECK(feeds[2].note == "outside the landing zone; the camera had just moved");
  CHECK(feeds[3].note.empty());
  CHECK(feeds[4].note.empty());
}

TEST_CASE("feeds that flew while the table was not found say so") {
  std::vector<Feed> feeds(4);
  feeds[0].t_bounce_s = 2.0;
  feeds[1].t_bounce_s = 5.3;
  feeds[2].t_launch_s = 6.4;  // its bounce was not seen
  CHECK(note_lost({5, 5.5, 6, 6.5}, 0.5, feeds) == 2);
  CHECK(feeds[0].note.empty());
  CHECK(feeds[1].note == "the table's lines were not seen while it flew");
  CHECK(!feeds[2].note.empty());
  CHECK(feeds[3].note.empty());  // it has no time at all
  CHECK(note_lost({}, 0.5, feeds) == 0);
}
