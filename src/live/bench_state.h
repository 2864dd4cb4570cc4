// SPDX-License-Identifier: MIT
// What the bench shows at one moment: plain values, whoever shows them.
#pragma once

#include "flight/feed.h"
#include "quality/qualification.h"

#include <string>
#include <string_view>
#include <vector>

namespace evenfeed {

enum class BenchWord {
  kWaiting,   ///< no feed yet
  kSettling,  ///< not ready, and was not before
  kReady,
  kChanged,     ///< was ready, and something changed
  kCameraLost,  ///< nothing comes from the camera
  kBehind,      ///< what was judged last is old: the pictures wait
  kWriting,     ///< no more pictures; everything is measured and written
  kEnded,
};

/// "WAITING", "SETTLING", "READY", "CHANGED", "NO CAMERA", "BEHIND",
/// "WRITING", "ENDED".
[[nodiscard]] std::string_view bench_word(BenchWord word);

/// A feed as it is told.
struct LiveFeed {
  Feed feed;
  double first_s = 0;  ///< of its sightings
  double last_s = 0;
  bool settled = false;  ///< found by the session's own way too
  bool renewed = false;  ///< measured together with the others
};

struct BenchState {
  BenchWord word = BenchWord::kWaiting;
  double t_s = 0;       ///< of the last frame
  double behind_s = 0;  ///< so long ago the camera sent it
  int frames = 0;
  std::vector<LiveFeed> feeds;  ///< in order of time, numbered from 1
  Qualification judged;         ///< of those feeds
  int renewals = 0;             ///< of what the feeds share
  std::vector<std::string> warnings;
};

/// A state that is older is not shown as one: it may have changed since.
inline constexpr double kOld_s = 5;

/// The state as one line: word, how many feeds, what holds back.
[[nodiscard]] std::string state_line(const BenchState& state);

/// Whether the launcher may be called ready now.
[[nodiscard]] BenchWord word_of(const Qualification& judged, int feeds);

}  // namespace evenfeed
