// SPDX-License-Identifier: MIT
// Phase II: the charts of one trial against a baseline, feed by feed.
//
// Single feeds: T2 of the joint vector, and each characteristic alone. A
// distance rarer than the mis-feed probability is a mis-feed.
// Lasting changes: MEWMA of the joint vector and an EWMA per characteristic;
// of the spread, an EWMA of the normal score of T2. All of them see distances
// cut off at the 99.73 % point, so that one mis-feed cannot pass for a change.
// A signal opens an episode, which begins at the estimated change. It is over
// when every chart of its kind is back within half its limits; its end is then
// estimated like its beginning. What an open episode explains does not signal
// again.
#pragma once

#include "charts/ewma.h"
#include "charts/individuals.h"
#include "charts/mewma.h"
#include "charts/t2.h"
#include "quality/qualification.h"

#include <optional>
#include <string>
#include <vector>

#include <Eigen/Cholesky>
#include <Eigen/Core>

namespace evenfeed {

/// What the charts said about one monitored feed.
struct MonitoredFeed {
  int feed = 0;
  Eigen::VectorXd values;     ///< as measured
  Eigen::VectorXd deviation;  ///< whitened, cut off; NaN when not measured
  T2Point t2;
  double misfeed_limit = kNotKnown;
  MewmaPoint mewma;
  double score = kNotKnown;             ///< normal score of T2, cut off
  std::vector<IndividualsPoint> alone;  ///< per characteristic
  bool single_signal = false;  ///< T2 or a characteristic alone, unexplained
  bool misfeed = false;        ///< rarer than the mis-feed probability
  std::string single_reason;   ///< plain words for it
};

/// A lasting change, from the estimated first feed of it.
struct Episode {
  bool of_spread = false;
  int first = 0;       ///< index of the first feed under review
  int signalled = 0;   ///< index of the feed that signalled
  int last = -1;       ///< index of the last feed under review; -1: still open
  std::string reason;  ///< plain words
  Eigen::VectorXd shift;  ///< whitened; empty for a spread
};

class Monitor {
 public:
  Monitor(Baseline baseline, const ChartOptions& options);
  void add(int feed, const Eigen::VectorXd& values);

  const Baseline& baseline() const { return baseline_; }
  const std::vector<MonitoredFeed>& feeds() const { return feeds_; }
  const std::vector<Episode>& episodes() const { return episodes_; }
  const std::vector<Signal>& signals() const { return signals_; }
  bool in_control() const;  ///< no episode is open
  /// EWMA per characteristic, MEWMA, T2, spread: points as they were.
  std::vector<ChartSeries> series() const;

 private:
  void smooth_each(const MonitoredFeed& now);
  void look_at_single(MonitoredFeed& now);
  void look_at_changes();
  void open_episode(bool of_spread, const std::string& chart);
  void close_episodes();
  int last_of_change(const Episode& episode) const;
  std::vector<Eigen::VectorXd> evidence(bool of_spread,
                                        std::size_t start) const;
  std::size_t evidence_start(bool of_spread) const;
  bool deviations_agree() const;
  Eigen::VectorXd shift_since(int first) const;
  Eigen::VectorXd whitened(const MonitoredFeed& feed) const;
  void absorb_singles(const Episode& episode);
  std::string explain_single(const MonitoredFeed& now, int part) const;
  std::string explain_shift(const Signal& signal, int j, int first) const;
  int strongest_ewma() const;
  int strongest_part(const MonitoredFeed& now) const;
  double distance_from(const MonitoredFeed& now,
                       const Eigen::VectorXd& shift) const;
  const Episode* open(bool of_spread) const;
  const std::string& name(int j) const;

  Baseline baseline_;
  ChartOptions options_;
  Eigen::VectorXd joint_mean_;
  Eigen::MatrixXd joint_covariance_;
  Eigen::LLT<Eigen::MatrixXd> factor_;
  double cut2_;  // squared distance at which evidence is cut off
  T2Chart t2_;
  MewmaChart mewma_;
  EwmaChart spread_;
  std::vector<IndividualsChart> alone_;
  std::vector<EwmaChart> ewma_;
  std::vector<MonitoredFeed> feeds_;
  std::vector<Episode> episodes_;
  std::vector<Signal> signals_;
  std::vector<ChartSeries> ewma_series_;  // per characteristic
  ChartSeries spread_series_;
};

}  // namespace evenfeed
