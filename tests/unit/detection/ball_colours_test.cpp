// SPDX-License-Identifier: MIT
// Where the colour planes say that a ball is, and how far they are believed.
#include "unit/detection/filmed_ball.h"

#include <cmath>
#include <vector>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// As bright as the table there: its colour only is seen.
PaintedBall colour_only_ball(double u, double v) {
  PaintedBall ball = ball_at(u, v);
  ball.ambient = 1;
  ball.brightness = static_cast<double>(
      Filming::light_behind(static_cast<int>(u), static_cast<int>(v)));
  return ball;
}

// How far to the right of the truth a ball is seen by its colour, px, when the
// colour planes lie so far to the right, and many balls were seen before.
double colour_pulls_px(double planes_off_px, const PaintedBall& before) {
  Filming filming;
  filming.ball_blue = -30;
  filming.ball_red = 35;
  filming.colour_off_px = {planes_off_px, 0};
  BallDetector detector = detector_for(filming);
  constexpr int kBefore = 150;
  for (int i = 0; i < kBefore; ++i) detector.detect(filming.frame(before));
  const PaintedBall ball = colour_only_ball(150.6, 60.3);
  const auto seen = detector.detect(filming.frame(ball));
  REQUIRE(seen.size() == 1);
  return seen.front().centre_px.x() - ball.centre_px.x();
}

}  // namespace

TEST_CASE("a ball as bright as the table is found by its colour only") {
  Filming filming;
  filming.ball_blue = -30;
  filming.ball_red = 35;
  BallDetector detector = detector_for(filming);
  DetectorOptions grey;
  grey.use_colour = false;
  BallDetector colour_blind = detector_for(filming, grey);
  const PaintedBall ball = colour_only_ball(50.6, 60.3);
  const Frame frame = filming.frame(ball);
  const auto seen = detector.detect(frame);
  REQUIRE(seen.size() == 1);
  CHECK((seen[0].centre_px - ball.centre_px).norm() < 0.3);
  CHECK(detector.counts().colour_only == 1);
  CHECK(colour_blind.detect(frame).empty());
}

// In films with light from beside, the middles of all balls are off alike by
// up to a tenth of the radius (tests/bench/worlds).
TEST_CASE("one-sided light is doubted, and what the colour says then counts") {
  Filming filming;
  DetectorOptions grey;
  grey.use_colour = false;
  BallDetector colour_blind = detector_for(filming, grey);
  filming.ball_blue = -30;
  filming.ball_red = 35;
  BallDetector detector = detector_for(filming);
  PaintedBall even = ball_at(50.6, 60.3);
  even.ambient = 1;
  const auto known = colour_blind.detect(filming.frame(even));
  REQUIRE(known.size() == 1);
  CHECK(known[0].sigma_px < 0.1);
  const PaintedBall from_above = ball_lit_from_above(50.6, 60.3);
  const Frame frame = filming.frame(from_above);
  const auto doubted = colour_blind.detect(frame);
  REQUIRE(doubted.size() == 1);
  CHECK(doubted[0].sigma_px > 1.5 * known[0].sigma_px);
  CHECK(doubted[0].sigma_px > 0.15);
  CHECK(doubted[0].sigma_px < 0.4);
  const auto told = detector.detect(frame);
  REQUIRE(told.size() == 1);
  CHECK(told[0].sigma_px < doubted[0].sigma_px);
  CHECK((told[0].centre_px - from_above.centre_px).norm() < 0.2);
}

TEST_CASE(
    "where colour lies is learned from balls seen well, to half a pixel") {
  PaintedBall even = ball_at(50.6, 60.3);
  even.ambient = 1;
  CHECK(std::abs(colour_pulls_px(0.4, even)) < 0.12);
  CHECK(std::abs(colour_pulls_px(1.5, even) - 1) < 0.15);
  PaintedBall doubted = ball_lit_from_above(50.6, 60.3);
  doubted.ambient = 0.4;
  CHECK(std::abs(colour_pulls_px(0.4, doubted) - 0.4) < 0.15);
}

namespace {

// Colours that coding moves by 0.8 px, and a ball they show better than the
// brightness does, so that both are looked at.
struct Coded {
  Filming filming;
  explicit Coded(double strays_px) {
    filming.ball_blue = -60;
    filming.ball_red = 60;
    filming.colour_strays_px = strays_px;
  }
  static PaintedBall dim(double u, double v) {
    PaintedBall ball = colour_only_ball(u, v);
    ball.brightness *= 1.7;
    return ball;
  }
  // Root mean square of the error of the last 60 of 100 balls, px per axis.
  double error_px(const DetectorOptions& options) {
    BallDetector detector = detector_for(filming, options);
    double squares = 0;
    int count = 0;
    for (int i = 0; i < 100; ++i) {
      const PaintedBall ball = dim(40.3 + 0.37 * i, 60.3);
      const auto seen = detector.detect(filming.frame(ball));
      if (i < 40 || seen.size() != 1) continue;
      squares += (seen[0].centre_px - ball.centre_px).squaredNorm() / 2;
      ++count;
    }
    REQUIRE(count > 50);
    return std::sqrt(squares / count);
  }
};

}  // namespace

// In films of phones and of tests/bench/worlds colours err by three times what
// their fits say, and drew well seen balls away.
TEST_CASE("colours are believed as far as they agreed with the brightness") {
  DetectorOptions grey;
  grey.use_colour = false;
  const double blind_px = Coded(0.8).error_px(grey);
  CHECK(Coded(0.8).error_px({}) < 1.25 * blind_px);
}

TEST_CASE("a ball that only its colour shows is stated as its colours err") {
  Coded coded(0.8);
  BallDetector detector = detector_for(coded.filming);
  for (int i = 0; i < 80; ++i) {
    detector.detect(coded.filming.frame(Coded::dim(40.3 + 0.37 * i, 60.3)));
  }
  double squares = 0;
  int count = 0;
  for (int i = 0; i < 40; ++i) {
    const PaintedBall ball = colour_only_ball(140.3 + 0.31 * i, 60.3);
    for (const Sighting& seen : detector.detect(coded.filming.frame(ball))) {
      squares +=
          ((seen.centre_px - ball.centre_px) / seen.sigma_px).squaredNorm() / 2;
      ++count;
    }
  }
  REQUIRE(count >= 30);
  // In films the brightness errs by twice what is stated of it.
  CHECK(std::sqrt(squares / count) > 1);
  CHECK(std::sqrt(squares / count) < 3);
}

TEST_CASE("what the brightness shows well, colours need not look at again") {
  Filming filming;
  DetectorOptions grey;
  grey.use_colour = false;
  BallDetector detector = detector_for(filming);
  BallDetector colour_blind = detector_for(filming, grey);
  constexpr double kNothing = 0.01;  // by other stills
  // How much surer colours make the one ball in a frame.
  const auto gain = [&](const PaintedBall& ball, double blue, double red) {
    filming.ball_blue = blue;
    filming.ball_red = red;
    const Frame frame = filming.frame(ball);
    const auto blind = colour_blind.detect(frame);
    const auto seen = detector.detect(frame);
    REQUIRE(blind.size() == 1);
    REQUIRE(seen.size() == 1);
    CAPTURE(blind[0].sigma_px);
    return 1 - seen[0].sigma_px / blind[0].sigma_px;
  };
  PaintedBall even = ball_at(50.6, 60.3);
  even.ambient = 1;
  CHECK(gain(even, -30, 35) > kNothing);
  for (int i = 0; i < 60; ++i) gain(even, -30, 35);
  CHECK(std::abs(gain(even, -30, 35)) < kNothing);
  // One that stands out more in its colours is looked at, and one that is lit
  // from one side.
  CHECK(gain(Coded::dim(60.3, 60.3), -90, 90) > kNothing);
  PaintedBall lit = ball_lit_from_above(150.6, 90.3);
  lit.ambient = 0.4;
  CHECK(gain(lit, -30, 35) > kNothing);
  // So is a second ball that its colour only shows.
  filming.other_ball = ball_at(30.3, 40.2);
  CHECK(detector.detect(filming.frame(colour_only_ball(150.6, 60.3))).size() ==
        2);
}

// Noise and compression leave patches in the colours of hard films, which a
// blurred ball fits well: four of five sightings in a noisy film.
TEST_CASE("what is not of the balls' colour is no ball in the colours") {
  Filming filming;
  BallDetector fresh = detector_for(filming);
  BallDetector detector = detector_for(filming);
  const auto film = [&](BallDetector& by, double blue, double red) {
    filming.ball_blue = blue;
    filming.ball_red = red;
    return by.detect(filming.frame(colour_only_ball(150.6, 60.3))).size();
  };
  const auto show_balls = [&](double blue, double red) {
    filming.ball_blue = blue;
    filming.ball_red = red;
    for (int i = 0; i < 40; ++i) {
      PaintedBall ball = ball_at(30.6 + i, 60.3);
      ball.ambient = 0.7;
      REQUIRE(detector.detect(filming.frame(ball)).size() == 1);
    }
  };
  // Nothing is known of balls yet, and what colours alone show teaches nothing.
  for (int i = 0; i < 15; ++i) CHECK(film(fresh, 12, -14) == 1);
  CHECK(film(fresh, -30, 35) == 1);
  show_balls(-30, 35);
  CHECK(film(detector, 12, -14) == 0);  // of the other sign
  CHECK(film(detector, -10, 11) == 0);  // a third of the light
  CHECK(film(detector, -24, 28) == 1);
  // A session may go on with balls of another colour, which the brightness
  // shows.
  show_balls(40, -40);
  CHECK(film(detector, 40, -40) == 1);
  CHECK(film(detector, -30, 35) == 1);
}
