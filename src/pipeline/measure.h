// SPDX-License-Identifier: MIT
// A film or a file of sightings to feeds: the one measuring path
// (frame_measurer.h, which live pictures take too), beginning to end.
#pragma once

#include "geometry/bench.h"
#include "pipeline/measurement.h"
#include "pipeline/profile.h"

#include <filesystem>
#include <functional>
#include <vector>

namespace evenfeed {

struct MeasureProgress {
  int frames = 0;
  int expected_frames = 0;  ///< 0 when not known
  int feeds = 0;            ///< found so far
};
using ProgressCallback = std::function<void(const MeasureProgress&)>;

/// Throws InputError when the film cannot be read or is not the size of the
/// bench's picture.
Measurement measure_film(const std::filesystem::path& film,
                         const Bench& bench,
                         const Profile& profile,
                         const MeasureOptions& options,
                         const ProgressCallback& progress = {});

/// The same from sightings in any order; those whose times differ by less than
/// half the usual step are taken as one frame.
Measurement measure_sightings(std::vector<Sighting> sightings,
                              const Bench& bench,
                              const Profile& profile,
                              const MeasureOptions& options);

}  // namespace evenfeed
