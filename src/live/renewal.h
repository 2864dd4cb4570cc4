// SPDX-License-Identifier: MIT
// What the feeds share, solved anew while the bench goes on: the session's own
// fit of all feeds so far, beside the frames and never in their way. A part of
// the processors' time goes there and no more.
#pragma once

#include "live/bench_state.h"
#include "live/judge.h"
#include "pipeline/feed_measurer.h"

#include <array>
#include <chrono>
#include <future>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

/// By how much the session states a feed less surely than it could be stated
/// alone: errors near the bounce and from frame to frame, which only many feeds
/// show. In the order of characteristics(); at least 1.
using Widening = std::array<double, kCharacteristicCount>;
[[nodiscard]] Widening no_widening();
void widen(Feed& feed, const Widening& by);

struct Renewed {
  std::vector<LiveFeed> feeds;
  double until_s = 0;  ///< feeds that began later were not in it
  ToldSoFar told;
  Widening widening = no_widening();  ///< of feeds measured alone with it
  std::optional<Judge> judge;         ///< of those feeds
  std::vector<std::string> warnings;
  std::string failed;  ///< why it could not be done; all else is then empty
};

/// All feeds the measurer has found, measured together and judged.
[[nodiscard]] Renewed renew(const FeedMeasurer& measurer,
                            const JudgeOptions& judging);

class Renewal {
 public:
  /// `apart` false: begin() does it at once, for the same answer in every run.
  Renewal(JudgeOptions judging, bool apart);
  ~Renewal();
  Renewal(const Renewal&) = delete;
  Renewal& operator=(const Renewal&) = delete;

  /// Not at work, and long enough after the last one.
  [[nodiscard]] bool may_begin() const;
  void begin(const FeedMeasurer& measurer);
  /// What was begun, when it is done.
  [[nodiscard]] std::optional<Renewed> take();

 private:
  using Clock = std::chrono::steady_clock;
  JudgeOptions judging_;
  bool apart_;
  std::future<Renewed> work_;
  Clock::time_point began_;
  Clock::time_point not_before_ = Clock::time_point::min();
};

}  // namespace evenfeed
