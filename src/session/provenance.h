// SPDX-License-Identifier: MIT
// Where the numbers of a session come from: what a page must tell before
// anybody can trust it, or find it again after half a year.
#pragma once

#include "session/session_record.h"

#include <string>
#include <string_view>
#include <vector>

namespace evenfeed {

/// How the date of a session is known; the words are those of session.json.
inline constexpr std::string_view kDatedBySaid = "said";
inline constexpr std::string_view kDatedByFilm = "film";  ///< its container
inline constexpr std::string_view kDatedByFile = "file";  ///< last written

/// "as the film itself says" and so on; empty for a word that is not known.
[[nodiscard]] std::string_view dated_by_words(std::string_view word);

/// A film is written after it was taken, and copies later still; a file that is
/// older than its own film by more than a day shows that a clock was wrong.
/// Says so, and which of the two dates was used; empty otherwise.
[[nodiscard]] std::string date_doubt(UnixSeconds taken,
                                     UnixSeconds last_written);

/// 0: not known.
struct FilmFacts {
  int width_px = 0;
  int height_px = 0;
  int frames = 0;
  double duration_s = 0;
  double slow = 0;  ///< times slower than taken: what its times were divided by
  /// How well its speed is known, sd of the logarithm; 0: it is the camera's.
  double clock_sd = 0;
};

struct Provenance {
  /// Film, date, launcher, sample, balls, note, profile, program version.
  SessionHead head;
  std::vector<Property> settings;
  std::vector<Property> sample_properties;
  FilmFacts film;
};

}  // namespace evenfeed
