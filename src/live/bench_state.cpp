// SPDX-License-Identifier: MIT
#include "live/bench_state.h"

#include "base/counted.h"

#include <fmt/format.h>

namespace evenfeed {

std::string_view bench_word(BenchWord word) {
  switch (word) {
    case BenchWord::kWaiting:
      return "WAITING";
    case BenchWord::kSettling:
      return "SETTLING";
    case BenchWord::kReady:
      return "READY";
    case BenchWord::kChanged:
      return "CHANGED";
    case BenchWord::kCameraLost:
      return "NO CAMERA";
    case BenchWord::kBehind:
      return "BEHIND";
    case BenchWord::kWriting:
      return "WRITING";
    case BenchWord::kEnded:
      return "ENDED";
  }
  return "";
}

BenchWord word_of(const Qualification& judged, int feeds) {
  if (feeds == 0) return BenchWord::kWaiting;
  if (judged.ready) return BenchWord::kReady;
  return judged.ready_at_feed ? BenchWord::kChanged : BenchWord::kSettling;
}

std::string state_line(const BenchState& state) {
  std::string line =
      fmt::format("{:<9} {}",
                  bench_word(state.word),
                  counted(static_cast<int>(state.feeds.size()), "feed"));
  if (state.word == BenchWord::kBehind) {
    return line +
           fmt::format(", no news for {:.0f} s: this machine does not keep up",
                       state.behind_s);
  }
  if (state.word == BenchWord::kWriting) {
    return line + ": all is measured once more and written";
  }
  if (state.word == BenchWord::kReady) {
    line += fmt::format(", ready since feed {}, {} kept",
                        state.judged.ready_at_feed.value_or(0),
                        state.judged.count(Verdict::kKeep));
    return line;
  }
  if (state.judged.more_feeds > 0 && !state.feeds.empty()) {
    line += fmt::format(", about {} more", state.judged.more_feeds);
  }
  if (!state.judged.holding_back.empty() && !state.feeds.empty()) {
    line += ": " + state.judged.holding_back.front();
  }
  return line;
}

}  // namespace evenfeed
