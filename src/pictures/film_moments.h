// SPDX-License-Identifier: MIT
// The frames of a trial's film by the time since its ball met the sample.
#pragma once

#include "film/film_stretch.h"
#include "pictures/matched_pair.h"

#include <memory>
#include <optional>

namespace evenfeed {

/// A frame, and when it shows the ball.
struct FilmMoment {
  Frame frame;
  double after_contact_s = 0;  ///< middle of the exposure of the ball's row
};

class FilmMoments {
 public:
  /// From `from_s` to `until_s` after the contact, which is known. Pictures are
  /// upright. Throws InputError when the film cannot be read.
  FilmMoments(const PairedTrial& trial, double from_s, double until_s);

  const VideoInfo& info() const { return stretch_->info(); }

  /// The next one; nullopt at the end.
  std::optional<FilmMoment> next();

  /// The one nearest to a time, which grows from call to call; nullptr where
  /// the film has none within half a step of its frames: before its first
  /// one, after its last, in a gap.
  const FilmMoment* nearest(double after_contact_s);

 private:
  double usual_step_s() const;

  const PairedTrial& trial_;
  double contact_s_;
  std::unique_ptr<FilmStretch> stretch_;
  std::optional<FilmMoment> now_, later_;
  bool begun_ = false;
};

}  // namespace evenfeed
