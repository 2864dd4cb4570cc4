// SPDX-License-Identifier: MIT
// The whole way on a short film, from the film alone: simulate, calibrate,
// measure, compare with the known answer, both ways.
#include "base/error.h"
#include "base/units.h"
#include "calibration/calibrate_film.h"
#include "pipeline/measure.h"
#include "simulate/film.h"
#include "support/table_camera.h"
#include "support/temp_dir.h"
#include "unit/simulate/test_scene.h"

#include <cmath>
#include <cstdlib>

#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace evenfeed;

namespace {

struct ShortSession {
  TempDir folder{"short-film"};
  Profile profile = load_profile(profile_of_tree("table-tennis"));
  Film film;
  FilmCalibration calibration;
  Measurement measured;

  ShortSession() {
    const Scene scene = shipped_scene("short640p60");
    film = simulate(scene, 1, folder / "film.mp4");
    CalibrationOptions options;
    options.limits = profile.calibration;
    calibration = calibrate_film(folder / "film.mp4", profile.surface, options);
    if (!calibration.result.done()) return;
    MeasureOptions keep;
    keep.keep_sightings = true;
    measured = measure_film(
        folder / "film.mp4", calibration.result.bench, profile, keep);
  }
};

const ShortSession& short_session() {
  static const ShortSession session;
  return session;
}

}  // namespace

TEST_CASE("every feed of a short film is found, near its truth, and no other") {
  const ShortSession& session = short_session();
  REQUIRE(session.calibration.result.done());
  const Measurement& measured = session.measured;
  const auto& feeds = measured.fit.feeds;
  REQUIRE(session.film.feeds.size() >= 3);
  REQUIRE(feeds.size() == session.film.feeds.size());
  CHECK(measured.counts.feeds == static_cast<int>(feeds.size()));
  for (std::size_t i = 0; i < feeds.size(); ++i) {
    const TrueFeed& truth = session.film.feeds[i];
    CAPTURE(i);
    CHECK(feeds[i].status == FeedStatus::kMeasured);
    CHECK(std::abs(feeds[i][Characteristic::kX].value -
                   mm_from_m(truth.bounce_m.x())) < 40);
    CHECK(std::abs(feeds[i][Characteristic::kY].value -
                   mm_from_m(truth.bounce_m.y())) < 8);
    CHECK(std::abs(feeds[i].t_bounce_s - truth.t_bounce_s) < 0.012);
    CHECK(std::abs(feeds[i][Characteristic::kSpeedIn].value -
                   truth.v_in_mps.norm()) < 0.15);
  }
}

TEST_CASE("a copy that no camera wrote has its clock among what is uncertain") {
  const ShortSession& session = short_session();
  REQUIRE(session.calibration.result.done());
  const std::string copy = "ffmpeg -v error -nostdin -i " +
                           (session.folder / "film.mp4").string() +
                           " -c copy " + (session.folder / "copy.mp4").string();
  REQUIRE(std::system(copy.c_str()) == 0);
  const SessionFit& own = session.measured.fit;
  const SessionFit copied = measure_film(session.folder / "copy.mp4",
                                         session.calibration.result.bench,
                                         session.profile,
                                         {})
                                .fit;
  REQUIRE(own.feeds.size() == copied.feeds.size());
  constexpr auto kSpeed = static_cast<std::size_t>(Characteristic::kSpeedIn);
  CHECK(own.common.clock == 0);
  CHECK(copied.common.clock > 0.01);
  CHECK(copied.common.clock < 0.03);
  CHECK(copied.common.sigma[kSpeed] > 1.2 * own.common.sigma[kSpeed]);
  CHECK(copied.feeds[0][Characteristic::kSpeedIn].value ==
        own.feeds[0][Characteristic::kSpeedIn].value);
}

TEST_CASE("the sightings a film gave measure the same feeds again") {
  const ShortSession& session = short_session();
  REQUIRE(session.calibration.result.done());
  const Bench& bench = session.calibration.result.bench;
  const Measurement& film = session.measured;
  REQUIRE(film.sightings.size() > 60);
  const Measurement again =
      measure_sightings(film.sightings, bench, session.profile, {});
  REQUIRE(again.fit.feeds.size() == film.fit.feeds.size());
  for (std::size_t i = 0; i < film.fit.feeds.size(); ++i) {
    CHECK(again.fit.feeds[i][Characteristic::kX].value ==
          doctest::Approx(film.fit.feeds[i][Characteristic::kX].value)
              .epsilon(1e-3));
  }
}

TEST_CASE("what flew where a film was put together is not measured") {
  const ShortSession& session = short_session();
  REQUIRE(session.calibration.result.done());
  // From one moment on, in mid-flight, things in three places are others.
  const double cut_s = session.film.feeds.at(1).t_bounce_s - 0.05;
  const std::string later = fmt::format(":t=fill:enable='gte(t,{})'", cut_s);
  const std::string boxes = fmt::format(
      "drawbox=4:4:44:44:gray{0},drawbox=iw-60:8:50:44:black{0},"
      "drawbox=8:ih-60:60:50:white{0}",
      later);
  const std::string joined =
      "ffmpeg -v error -nostdin -i " + (session.folder / "film.mp4").string() +
      " -vf \"" + boxes + "\" " + (session.folder / "joined.mp4").string();
  REQUIRE(std::system(joined.c_str()) == 0);
  const Measurement measured = measure_film(session.folder / "joined.mp4",
                                            session.calibration.result.bench,
                                            session.profile,
                                            {});
  const auto& feeds = measured.fit.feeds;
  REQUIRE(feeds.size() == session.film.feeds.size());
  for (std::size_t i = 0; i < feeds.size(); ++i) {
    CAPTURE(i);
    CHECK((feeds[i].status == FeedStatus::kMeasured) == (i != 1));
  }
  CHECK(feeds[1].note.find("the film was cut") != std::string::npos);
  REQUIRE_FALSE(measured.notes.empty());
  CHECK(measured.notes.back().find("put together, at 1 place") !=
        std::string::npos);
}

TEST_CASE("a bench whose camera stood 100 mm farther on is refused") {
  const ShortSession& session = short_session();
  REQUIRE(session.calibration.result.done());
  Bench elsewhere = session.calibration.result.bench;
  elsewhere.camera = with_eye_shifted(elsewhere.camera, {0.1, 0, 0});
  CHECK_THROWS_WITH_AS(
      measure_film(session.folder / "film.mp4", elsewhere, session.profile, {}),
      doctest::Contains("this bench is not of this film"),
      InputError);
}

TEST_CASE("a bench calibrated on the film itself is not asked again") {
  const ShortSession& session = short_session();
  REQUIRE(session.calibration.result.done());
  Bench knocked = session.calibration.result.bench;
  knocked.camera = with_eye_shifted(knocked.camera, {0.1, 0, 0});
  MeasureOptions own;
  own.bench_of_this_film = true;
  CHECK_NOTHROW(
      measure_film(session.folder / "film.mp4", knocked, session.profile, own));
}
