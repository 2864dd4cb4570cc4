// SPDX-License-Identifier: MIT
// The sheet of 'plan order' followed at the bench. Rows of one sample make a
// step; a note in a row ("turn the glass") ends one, for it is what to do after
// that feed. The first step begins by itself, every other when the tester says
// that it is done: what is clamped is said, never guessed.
#pragma once

#include "base/csv.h"
#include "live/trial_log.h"

#include <string>
#include <vector>

namespace evenfeed {

struct OrderStep {
  std::string sample;   ///< empty: the launcher alone
  std::string purpose;  ///< as the sheet has it: "warm-up", "trial", "re-check"
  std::string after;    ///< to do when it is fed: its last row's note
  std::vector<std::string> balls;  ///< of each feed; empty texts: any
  int feeds() const { return static_cast<int>(balls.size()); }
};

/// Where the tester is.
struct OrderPlace {
  int step = 0;  ///< from 0; the number of steps: all is fed
  int fed = 0;   ///< of this step, without feeds that do not count
};

class OrderSheet {
 public:
  OrderSheet() = default;  ///< no sheet
  /// Columns sample and, if they are there, order, purpose, ball, note. Throws
  /// InputError naming the row: a sheet that is filled in (column feed), not
  /// counted on from 1, without feeds, or with a name that the log refuses.
  explicit OrderSheet(const CsvTable& table);

  [[nodiscard]] bool empty() const { return steps_.empty(); }
  [[nodiscard]] const std::vector<OrderStep>& steps() const { return steps_; }
  /// After these steps were said to be done, of feeds that flew at `first_s`.
  [[nodiscard]] OrderPlace place(const TrialLog& log,
                                 const std::vector<double>& counting_s) const;
  /// "K: 3 of 10 fed, then turn the glass; next: M, 4 feeds". One line.
  [[nodiscard]] std::string words(const OrderPlace& place) const;
  /// The step is fed, and it is the tester's turn.
  [[nodiscard]] bool due(const OrderPlace& place) const;

 private:
  std::vector<OrderStep> steps_;
};

/// What stands about feeds that flew from first to last, in order of time: what
/// was said of each, and the sheet's ball where nobody said another.
[[nodiscard]] std::vector<FeedLog> logs_of_feeds(
    const TrialLog& log,
    const OrderSheet& order,
    const std::vector<std::pair<double, double>>& flown_s);

}  // namespace evenfeed
