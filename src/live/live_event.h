// SPDX-License-Identifier: MIT
// What the engine says while the bench runs, each thing once.
#pragma once

#include "live/bench_state.h"

#include <string>
#include <string_view>

namespace evenfeed {

enum class LiveEventKind {
  kBallSeen,   ///< a ball flies
  kFeed,       ///< a feed was measured; `feed` holds it
  kWithdrawn,  ///< what was told as a feed was none
  kRenewed,    ///< all feeds were measured and judged together again
  kState,      ///< the word changed
  kCameraMoved,
  kCameraLost,
  kCameraBack,
  kClock,   ///< the stream's stamps are of no use, or of use again
  kDisk,    ///< it is nearly full, or the film cannot be written
  kBehind,  ///< pictures are recorded and not measured, or measured again
  kEnded,
};

/// "ball", "feed", "withdrawn", ...: the journal's and the page's word.
[[nodiscard]] std::string_view live_event_name(LiveEventKind kind);

struct LiveEvent {
  LiveEventKind kind = LiveEventKind::kState;
  double t_s = 0;                    ///< of the frame it came with
  std::string words;                 ///< for a person
  LiveFeed feed;                     ///< of kFeed and kWithdrawn
  std::string verdict;               ///< of kFeed: keep, review, discard
  std::vector<std::string> reasons;  ///< why
  BenchWord word = BenchWord::kWaiting;
};

}  // namespace evenfeed
