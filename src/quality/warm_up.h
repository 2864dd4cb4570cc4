// SPDX-License-Identifier: MIT
// Is the launcher warmed up? Decided anew after every feed, from the feeds so
// far alone.
//
// 1. Single wild values are set aside: further than 6 robust sd from the
//    median of the 9 feeds around them.
// 2. The window is the longest run of feeds up to the last one, `window` to
//    `longest_window` long, in which no characteristic shows a change: no
//    trend, no bend, and neither the first five feeds nor the first third
//    differ from the rest (t tests, `significance` shared among
//    characteristics and tests). Standard errors are widened by sqrt((1 + r)/(1
//    - r)) for a lag-1 autocorrelation r that is larger than chance allows. It
//    does not begin before a settling that is certain has come down to the
//    scatter of single feeds. When even the shortest window shows a change, the
//    launcher is still moving.
// 3. Ready when, with the stated one-sided confidence, the mean would move by
//    less than the tolerance over the horizon if the trend in the window went
//    on, the spread is below its tolerance (when there is one), and the
//    spread of the two halves does not differ (F test). The movement ahead is
//    also bounded by settling curves through all feeds (quality/settling.h),
//    and by a swing (quality/swing.h): a mean that goes up and down by more
//    than the tolerance is no trend. What may turn is not at rest
//    (quality/turning.h). The tolerance in own sd is one of the short-term sd,
//    from neighbouring feeds: a swing, or a settling that is not over, would
//    else widen its own tolerance.
// Every further feed is another look at the same question, and each look may
// err. So the error allowed to one look, 1 - confidence for the first few,
// falls with the cube of the number of feeds (spending of the error in the
// sense of Lan and DeMets 1983, Biometrika 70:659): later looks know more and
// can afford it, and the errors of all of them together stay near that of one.
// The question is whether stability has been shown, not whether a change has:
// a launcher nobody knows enough about is not ready.
#pragma once

#include "quality/hold_back.h"
#include "quality/options.h"
#include "quality/settling.h"

#include <optional>
#include <string>
#include <vector>

#include <Eigen/Core>

namespace evenfeed {

struct WarmUpState {
  bool ready = false;
  int first = 0;  ///< window: rows first..last, counted from 0
  int last = -1;
  std::vector<HoldBack> holding_back;  ///< empty when ready
  std::vector<Settling> settling;  ///< per characteristic; none: too few feeds
};

struct TurnLimit;

class WarmUp {
 public:
  WarmUp(std::vector<std::string> characteristics,
         const QualityOptions& options);
  /// The next feed: a value per characteristic, NaN where not known.
  void add(const Eigen::VectorXd& values);
  /// The decision from the feeds so far.
  const WarmUpState& state();
  /// Swings since row `first` (of the last 240 feeds), of two periods at least,
  /// that are larger than the tolerance of a drift.
  std::vector<HoldBack> swings_since(int first) const;

 private:
  struct Series;  // of one characteristic, wild values set aside
  void judge();
  std::vector<Series> clean_series() const;
  void fit_settlings(const std::vector<Series>& series);
  bool moves(const Series& series, int first, int last) const;
  struct Start {
    int first = 0;
    bool steady = false;
  };
  int settled_from(const Series& series, int j) const;
  int settled_from(const std::vector<Series>& series) const;
  Start find_start(const std::vector<Series>& series) const;
  std::optional<HoldBack> drift_of(const Series& series,
                                   int j,
                                   int first) const;
  void judge_spread(const Series& series, int j, int first);
  std::optional<HoldBack> movement_of(const Series& series,
                                      int j,
                                      int first) const;
  TurnLimit turn_limit(const Series& series, int j, int first) const;
  double drift_limit(const Series& series, int j, int first) const;
  void report_settling(const std::vector<Series>& series);
  void report_moving(const std::vector<Series>& series, int first);
  const Tolerance* tolerance(int j) const;
  int last_row() const;
  int measured_since(int first) const;
  double look_confidence() const;
  double change_limit(int n) const;

  std::vector<std::string> names_;
  WarmUpOptions options_;
  std::vector<Tolerance> tolerances_;
  std::vector<Eigen::VectorXd> rows_;
  WarmUpState state_;
  bool judged_ = false;
  mutable std::vector<double> change_limits_;  // of |t|, by number of values
};

}  // namespace evenfeed
