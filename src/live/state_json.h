// SPDX-License-Identifier: MIT
// The bench's state and its events as JSON, for the page and the journal.
// Numbers in file units. No path of this machine is in any of them.
#pragma once

#include "geometry/landing_zone.h"
#include "geometry/surface.h"
#include "live/live_event.h"
#include "live/order_sheet.h"
#include "live/trial_log.h"

#include <string>

namespace evenfeed {

/// Where the sheet is with the feeds of this state.
[[nodiscard]] OrderPlace order_place(const OrderSheet& order,
                                     const TrialLog& log,
                                     const BenchState& state);

/// Of a long session the last feeds and points of charts only.
/// {"word", "line", "t_s", "feed_count", "feeds": [...], "holding_back": [...],
/// ...}
[[nodiscard]] std::string state_json(const BenchState& state,
                                     const TrialLog& log,
                                     const OrderSheet& order,
                                     const Surface& surface,
                                     const LandingZone& zone);

/// {"kind", "t_s", "words", "word"} and, of a feed, {"feed": {...}, "verdict"}.
[[nodiscard]] std::string event_json(const LiveEvent& event);

/// {"t_s", "word"}: how far the pictures are, and what the bench is.
[[nodiscard]] std::string beat_json(double t_s, BenchWord word);

/// {"kind": "log", "word", "t_s", "text"}; "undo" is a word of its own.
[[nodiscard]] std::string log_json(const std::string& word,
                                   double t_s,
                                   const std::string& text);

/// What the page asks for: {"word": "sample", "text": "K"}.
struct LogWish {
  std::string word;
  std::string text;
};
/// Throws InputError for anything else.
[[nodiscard]] LogWish read_log_wish(const std::string& json);

}  // namespace evenfeed
