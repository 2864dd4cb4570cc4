// SPDX-License-Identifier: MIT
#include "pictures/film_moments.h"

#include "base/check.h"
#include "pictures/flown_part.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {
namespace {

VideoOptions upright(const PairedTrial& trial) {
  VideoOptions options;
  options.slow = trial.film_slow;
  options.apply_rotation = true;
  return options;
}

double contact_of(const PairedTrial& trial) {
  const auto contact_s = trial.contact_s();
  require(contact_s.has_value(), "a trial is shown by its contact");
  return *contact_s;
}

}  // namespace

FilmMoments::FilmMoments(const PairedTrial& trial,
                         double from_s,
                         double until_s)
    : trial_(trial),
      contact_s_(contact_of(trial)),
      stretch_(std::make_unique<FilmStretch>(trial.film,
                                             std::max(0., contact_s_ + from_s),
                                             contact_s_ + until_s,
                                             upright(trial))) {}

std::optional<FilmMoment> FilmMoments::next() {
  std::optional<Frame> frame = stretch_->next();
  if (!frame) return std::nullopt;
  const double t_s = moment_of_frame_s(trial_.flown, trial_.camera, frame->t_s);
  return FilmMoment{std::move(*frame), t_s - contact_s_};
}

double FilmMoments::usual_step_s() const {
  return info().rate_hz > 0 ? 1 / info().rate_hz : 1. / 30;
}

const FilmMoment* FilmMoments::nearest(double after_contact_s) {
  if (!begun_) {
    now_ = next();
    later_ = next();
    begun_ = true;
  }
  const auto far_s = [&](const FilmMoment& moment) {
    return std::abs(moment.after_contact_s - after_contact_s);
  };
  while (later_ && far_s(*later_) < far_s(*now_)) {
    now_ = std::move(later_);
    later_ = next();
  }
  constexpr double kHalf = 0.6;  // a step; frames are a little uneven
  if (!now_ || far_s(*now_) > kHalf * usual_step_s()) return nullptr;
  return &*now_;
}

}  // namespace evenfeed
