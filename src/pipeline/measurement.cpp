// SPDX-License-Identifier: MIT
#include "pipeline/measurement.h"

#include "base/check.h"

namespace evenfeed {

double clock_sd_of(const VideoInfo& film, const MeasureOptions& options) {
  return film.clock_known ? 0 : options.retimed_sd;
}

void MeasureOptions::check() const {
  video.check();
  detector.check();
  tracks.check();
  finder.check();
  session.check();
  watch.check();
  require_in_range(retimed_sd, 0, 1, "retimed_sd");
}

}  // namespace evenfeed
