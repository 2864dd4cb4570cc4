// SPDX-License-Identifier: MIT
// Films of matched pairs against the simulator's truth: both balls are shown at
// the same time since their contacts, and what is drawn lies on them.
#include "pictures/pair_film.h"

#include "film/video_source.h"
#include "pictures/film_moments.h"
#include "pictures/flown_part.h"
#include "pictures/same_stance.h"
#include "pipeline/measure.h"
#include "truth/filmed_scene.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kMost_px = 2;

// Three feeds that a sample sends back; each is paired with another of them.
struct Returned : FilmedScene {
  Measurement measured;

  Returned()
      : FilmedScene("pair-film", [](Scene& filmed) {
          filmed.launcher.feeds = 3;
          filmed.sample.present = true;
        }) {
    MeasureOptions options;
    options.bench_of_this_film = true;
    measured = measure_film(path(), bench, profile, options);
  }

  PairedTrial trial(std::size_t i) const {
    PairedTrial one;
    one.sample = i == 0 ? "K" : "M";
    one.film = path();
    one.camera = bench.camera;
    one.feed = measured.fit.feeds.at(i);
    one.flown = measured.fit.flown.at(i);
    return one;
  }
};

}  // namespace

TEST_CASE("pairs are in step to half a frame and drawn within two pixels") {
  const Returned session;
  REQUIRE(session.measured.fit.flown.size() == 3);
  const MatchedPair pair{session.trial(0), session.trial(1)};
  REQUIRE(why_not_together(pair).empty());
  CHECK(stances_apart_px(pair) < 1e-3);
  const double frame_s = 1 / session.scene.camera.fps;

  // What is shown of each at a moment, against when it truly was.
  std::array<FilmMoments, 2> films{FilmMoments(pair[0], -0.4, 0.5),
                                   FilmMoments(pair[1], -0.4, 0.5)};
  // By its time: a stretch counts its own frames.
  const auto true_after = [&](int ball,
                              const Frame& shown) -> std::optional<double> {
    const auto frame = static_cast<int>(std::lround(shown.t_s / frame_s));
    for (const TrueSighting& seen : session.film.sightings) {
      if (seen.ball == ball && seen.frame == frame) {
        return seen.t_s -
               session.film.feeds[static_cast<std::size_t>(ball)].t_contact_s;
      }
    }
    return std::nullopt;
  };
  int both = 0;
  double most_off_s = 0, sum_off_s = 0;
  double most_px = 0;
  while (const auto own = films[0].next()) {
    const FilmMoment* other = films[1].nearest(own->after_contact_s);
    if (other == nullptr) continue;
    const auto first = true_after(0, own->frame);
    const auto second = true_after(1, other->frame);
    if (!first || !second) continue;
    ++both;
    most_off_s = std::max(most_off_s, std::abs(*first - *second));
    sum_off_s += std::abs(*first - *second);
  }
  CHECK(both > 25);
  MESSAGE("true times of frames apart, at most, ms: ", 1000 * most_off_s);
  // The contacts are known to half a millisecond or so themselves.
  CHECK(most_off_s < 0.5 * frame_s + 0.001);
  CHECK(sum_off_s / both < 0.5 * frame_s);

  // The drawing follows the fit between frames: on the ball at each moment.
  for (std::size_t i = 0; i < 2; ++i) {
    for (const TrueSighting& seen : session.film.sightings) {
      if (seen.ball != static_cast<int>(i)) continue;
      const TrueFeed& truth = session.film.feeds[i];
      const auto drawn = flown_at(
          pair[i].flown, *pair[i].contact_s() + seen.t_s - truth.t_contact_s);
      if (!drawn) continue;
      most_px = std::max(most_px, (drawn->film_px - seen.centre_px).norm());
    }
    for (const FlightMark mark : {FlightMark::kContact, FlightMark::kNet}) {
      const auto drawn = marked_point(pair[i].flown, mark);
      if (!drawn) continue;
      const TrueFeed& truth = session.film.feeds[i];
      const auto there = session.scene.camera.model.project(
          mark == FlightMark::kNet ? truth.return_net_m : truth.contact_m);
      REQUIRE(there);
      most_px = std::max(most_px, (drawn->film_px - *there).norm());
    }
  }
  MESSAGE("drawn off the true ball, at most, px: ", most_px);
  CHECK(most_px < kMost_px);

  for (const PairForm form :
       {PairForm::kGhosts, PairForm::kSide, PairForm::kStacked}) {
    CAPTURE(static_cast<int>(form));
    PairFilmOptions options;
    options.form = form;
    options.around_s = 0.1;
    const auto file = session.folder / "pair.mp4";
    const PairFilmMade made = write_pair_film(pair, file, options);
    CHECK(made.frames > 30);
    CHECK(made.most_off_s < 0.5 * frame_s + 1e-4);
    CHECK_FALSE(made.in_one_picture);
    CHECK(made.still_png.substr(1, 3) == "PNG");
    const VideoInfo info = VideoSource(file).info();
    CHECK(info.width_px == (form == PairForm::kSide ? 1280 : 640));
    CHECK(info.height_px == (form == PairForm::kStacked ? 960 : 480));
  }

  // A camera that stood elsewhere: one film, both flights.
  MatchedPair apart = pair;
  apart[1].camera.camera_from_table.translation_m.x() += 0.05;
  PairFilmOptions ghosts;
  ghosts.around_s = 0;
  const PairFilmMade one =
      write_pair_film(apart, session.folder / "one.mp4", ghosts);
  CHECK(one.in_one_picture);
  CHECK(one.apart_px > same_stance_px(pair[0].camera));
}
