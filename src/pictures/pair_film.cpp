// SPDX-License-Identifier: MIT
#include "pictures/pair_film.h"

#include "base/check.h"
#include "base/error.h"
#include "film/colour_picture.h"
#include "pictures/film_moments.h"
#include "pictures/flown_part.h"
#include "pictures/pair_picture.h"
#include "pictures/png.h"
#include "pictures/same_stance.h"
#include "pictures/slowed_film.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace evenfeed {
namespace {

struct ShownSpan {
  double from_s = 0, until_s = 0;  // after the contact
};

ShownSpan window_of(const MatchedPair& pair, double around_s) {
  ShownSpan window;
  for (const PairedTrial& trial : pair) {
    const double contact_s = *trial.contact_s();
    const auto& path = trial.flown.path;
    window.from_s = std::min(window.from_s, path.front().t_s - contact_s);
    window.until_s = std::max(window.until_s, path.back().t_s - contact_s);
  }
  return {window.from_s - around_s, window.until_s + around_s};
}

// Frames of both films, on the clock of one.
class PairedFrames {
 public:
  PairedFrames(const MatchedPair& pair,
               const ShownSpan& window,
               bool first_only)
      : pair_(pair) {
    films_[0].emplace(pair[0], window.from_s, window.until_s);
    if (first_only) return;
    films_[1].emplace(pair[1], window.from_s, window.until_s);
    // A hundredth of a frame per second is no finer clock.
    if (films_[1]->info().rate_hz > 1.01 * films_[0]->info().rate_hz) {
      clock_ = 1;
    }
  }

  std::size_t clock() const { return clock_; }
  const VideoInfo& info(std::size_t i) const {
    return films_[films_[i] ? i : 0]->info();
  }

  /// The clock's next frame with the other's nearest; false at the end.
  bool next() {
    while ((own_ = films_[clock_]->next())) {
      moments_[clock_] = &*own_;
      const std::size_t other = 1 - clock_;
      if (!films_[other]) return true;
      moments_[other] = films_[other]->nearest(at_s());
      if (moments_[other] != nullptr) return true;
    }
    return false;
  }
  double at_s() const { return own_->after_contact_s; }
  /// By how much the other film's frame is off while its ball is seen.
  double off_s() const {
    const std::size_t other = 1 - clock_;
    const FilmMoment* moment = moments_[other];
    if (moment == nullptr) return 0;
    const double contact_s = *pair_[other].contact_s();
    const bool flies =
        flown_at(pair_[other].flown, contact_s + moment->after_contact_s)
            .has_value();
    return flies ? std::abs(moment->after_contact_s - at_s()) : 0;
  }
  const std::array<const FilmMoment*, 2>& moments() const { return moments_; }

 private:
  const MatchedPair& pair_;
  std::array<std::optional<FilmMoments>, 2> films_;
  std::size_t clock_ = 0;
  std::optional<FilmMoment> own_;
  std::array<const FilmMoment*, 2> moments_{};
};

}  // namespace

void PairFilmOptions::check() const {
  require_in_range(slow, 1, 100, "slow");
  require_in_range(crf, 0, 51, "crf");
  require_in_range(around_s, 0, 60, "around_s");
  require_in_range(most_px, 64, 8192, "most_px");
}

PairFilmMade write_pair_film(const MatchedPair& pair,
                             const std::filesystem::path& file,
                             const PairFilmOptions& options) {
  options.check();
  require(why_not_together(pair).empty(), "both contacts are known");
  PairFilmMade made;
  if (options.form == PairForm::kGhosts) {
    made.apart_px = stances_apart_px(pair);
    made.in_one_picture = made.apart_px > same_stance_px(pair[0].camera);
  }
  PairedFrames frames(
      pair, window_of(pair, options.around_s), made.in_one_picture);
  made.clock = static_cast<int>(frames.clock());
  const VideoInfo& clock = frames.info(frames.clock());
  PairPicture picture(
      pair, options, made.in_one_picture, {frames.info(0), frames.info(1)});
  std::optional<H264Writer> writer;
  std::optional<SlowedFilm> slowed;
  while (frames.next()) {
    const double at_s = frames.at_s();
    const cv::Mat drawn = picture.drawn(frames.moments(), at_s);
    if (!writer) {
      const H264Options code = coding_like(clock, drawn.size(), options.crf);
      writer.emplace(file, code);
      slowed.emplace(*writer, options.slow, 1 / code.rate_hz);
      made.first_s = at_s;
    }
    slowed->add(yuv_of(drawn, clock.colours),
                (at_s - made.first_s) * clock.slow);
    made.last_s = at_s;
    made.most_off_s = std::max(made.most_off_s, frames.off_s());
    ++made.frames;
  }
  if (!writer) {
    throw InputError(pair[frames.clock()].film.string(),
                     "it has no pictures of this trial that the other film "
                     "has too",
                     "Measure the films again: they may have been cut since");
  }
  slowed->finish();
  writer->finish();
  made.still_png = png_of(picture.still());
  return made;
}

}  // namespace evenfeed
