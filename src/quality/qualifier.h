// SPDX-License-Identifier: MIT
// Judges a trial feed by feed: warm-up until the launcher is ready, the feeds
// of the decision's window as the baseline, every later feed monitored. A
// finished file and a live stream go through the same steps, so both give the
// same answer for the same feeds.
//
// A launcher is ready while it may still move by a little. A baseline that
// holds the tail of a settling would call its end a change. So where the feeds
// up to "ready" hint at one (a settling curve of more than two standard
// errors), the baseline is renewed some times: from the window of the warm-up's
// decision as it was ten feeds ago, so that a change shows before it is taken
// in, as long as the monitor is in control and the mean has not moved by more
// than 1.5 sd since the first baseline.
#pragma once

#include "quality/monitor.h"
#include "quality/qualification.h"
#include "quality/warm_up.h"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

/// One feed as it comes.
struct TrialRow {
  int feed = 0;
  Eigen::VectorXd values;  ///< NaN: not known
  Eigen::VectorXd sigmas;  ///< NaN: not given
  std::string unmeasured;  ///< why nothing is known; empty if measured
  std::string ball;        ///< its name; empty if not named
};

/// Row `i` of a table.
TrialRow trial_row(const TrialTable& table, int i);

/// The next row of a table that grows; its matrices may hold room for more.
void append_row(const TrialRow& row, TrialTable& table);

class Qualifier {
 public:
  /// Throws UsageError when a given baseline is about other characteristics.
  Qualifier(std::vector<std::string> characteristics,
            const QualityOptions& options,
            const std::optional<Baseline>& given = std::nullopt);
  /// Feed numbers must increase.
  void add(const TrialRow& row);
  /// What is known now. Tags of earlier feeds can change with later ones: a
  /// change is found some feeds after it happened.
  Qualification result() const;

 private:
  void try_baseline();
  void renew_baseline();
  bool may_renew(const Baseline& newer) const;
  void start_monitor(Baseline baseline);
  void tag_warm_up(Qualification& out, const Baseline* provisional) const;
  void tag_baseline(Qualification& out) const;
  void tag_monitored(const Monitor& monitor,
                     int first,
                     int last,
                     Qualification& out) const;
  void fill_signals(Qualification& out) const;
  std::vector<ChartSeries> monitored_series() const;
  void tag_unmeasured(Qualification& out) const;
  void fill_readiness(Qualification& out) const;
  void fill_gauge(Qualification& out) const;
  void fill_evenness(Qualification& out) const;
  std::vector<std::string> unseen_by_charts() const;
  int row_of(int feed) const;
  std::vector<double> column(int j, int first) const;
  void warn_of_memory(Qualification& out) const;
  void warn_of_patterns(Qualification& out) const;
  void fill_charts(Qualification& out) const;
  void fill_settling(Qualification& out) const;
  void fill_balls(Qualification& out) const;
  void warn(Qualification& out) const;

  QualityOptions options_;
  bool given_ = false;
  TrialTable table_;
  WarmUp warm_up_;
  WarmUpState state_;        ///< after the last feed that asked for it
  WarmUpState first_state_;  ///< after the last feed before monitoring
  std::optional<Monitor> monitor_;
  int monitor_first_ = 0;  ///< row of its first feed
  /// Monitors of baselines that were renewed, with the rows they judged.
  struct Past {
    Monitor monitor;
    int first = 0;
    int last = 0;
  };
  std::vector<Past> past_;
  /// The decision after each row since the first baseline.
  struct Decided {
    bool ready = false;
    int first = 0;
  };
  std::vector<Decided> decided_;
  bool may_settle_ = false;  ///< the feeds up to "ready" hint at a settling
  BaselineFit phase_one_;
  int baseline_first_ = 0;  ///< rows of the baseline; none when given
  int baseline_last_ = -1;
  std::string no_baseline_;  ///< why a ready launcher gave no baseline
  std::optional<int> ready_at_;
  std::optional<int> stable_from_;
  int in_control_since_ = 0;  ///< first row of the present run in control
  std::vector<bool> monitored_;
};

}  // namespace evenfeed
