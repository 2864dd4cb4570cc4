// SPDX-License-Identifier: MIT
// What measure and session say about a measurement.
#pragma once

#include "cli/progress_line.h"
#include "pipeline/measure.h"
#include "session/sound_told.h"

#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

/// A few lines: feeds found, how they scatter, how well that was measured.
std::string measurement_text(const Measurement& measurement);

/// The first of them: feeds found, and what of them was measured.
std::string measurement_summary(const Measurement& measurement);

/// What the film's sound did, with a sentence about it; nullopt when it was not
/// listened to.
[[nodiscard]] std::optional<SoundTold> sound_told(
    const Measurement& measurement);

/// That sentence as a line; empty without it.
[[nodiscard]] std::string sound_line(const Measurement& measurement);

/// All that must be known before its numbers are trusted: what was mended in
/// the film, then what the fit warns of.
std::vector<std::string> measurement_warnings(const Measurement& measurement);

/// Shows frames done and feeds found on `line`.
ProgressCallback measuring_progress(ProgressLine& line);

/// Throws InputError about `source` when no picture has the time it says: every
/// speed would be wrong.
void require_own_times(const Measurement& measurement,
                       const std::string& source);

/// Throws InputError about `source` (the film or the sightings) when not one
/// feed was found: there is nothing to write a file about.
void require_feeds(const Measurement& measurement, const std::string& source);

}  // namespace evenfeed
