// SPDX-License-Identifier: MIT
// Two matched trials in one film, at the same time since the ball met the
// sample.
//
// The film runs on the frames of one of the two (the finer one, the first of
// two alike). Of the other, the frame nearest in time is shown: at its own
// time, half a frame off at most; its flight is drawn where the fit has it at
// that very moment, and words in the picture tell how far its frame is off. No
// picture is invented.
#pragma once

#include "pictures/matched_pair.h"

#include <filesystem>
#include <string>

namespace evenfeed {

enum class PairForm {
  kGhosts,   ///< over each other; one in the other's picture where the cameras
             ///< stood apart
  kSide,     ///< the first to the left
  kStacked,  ///< the first above
};

struct PairFilmOptions {
  PairForm form = PairForm::kGhosts;
  int slow = 1;            ///< every frame is shown so many times
  double crf = 18;         ///< H.264 constant rate factor
  double around_s = 0.35;  ///< before the first launch, after the last sight
  int most_px = 3840;      ///< width and height of the film
  void check() const;
};

struct PairFilmMade {
  int frames = 0;  ///< of the film's clock; shown `slow` times each
  double first_s = 0, last_s = 0;  ///< after the contact
  int clock = 0;                   ///< whose frames it runs on
  /// Ghosts were wanted, but the cameras stood apart: only the first's film is
  /// in it, the second's flight is drawn in.
  bool in_one_picture = false;
  double apart_px = 0;    ///< stances_apart_px; 0 when no ghosts were wanted
  double most_off_s = 0;  ///< of the other film's frames while its ball flew
  std::string still_png;  ///< both flights whole, with the balls of all frames
};

/// Writes `file` (MP4), without sound. Throws InputError when a film cannot be
/// read, has no frames of its trial, or `file` cannot be written; then it may
/// be there in part. Throws std::logic_error for trials of which
/// why_not_together() says something.
[[nodiscard]] PairFilmMade write_pair_film(const MatchedPair& pair,
                                           const std::filesystem::path& file,
                                           const PairFilmOptions& options = {});

}  // namespace evenfeed
