// SPDX-License-Identifier: MIT
// From the state of a Qualifier to the tag of each feed.
#include "charts/heavy_tails.h"
#include "charts/t2.h"
#include "quality/monitor_designs.h"
#include "quality/qualifier.h"
#include "stats/covariance.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

void set_z(const Baseline& baseline,
           const Eigen::VectorXd& values,
           FeedTag& tag) {
  if (!baseline.ok) return;
  const Eigen::VectorXd sd = baseline.sd();
  for (int j = 0; j < values.size(); ++j) {
    const double z = (values(j) - baseline.mean(j)) / sd(j);
    tag.z[static_cast<std::size_t>(j)] = std::isfinite(z) ? z : kNotKnown;
  }
}

// The characteristic furthest from the mean.
std::size_t furthest_part(const std::vector<double>& z) {
  std::size_t best = 0;
  for (std::size_t j = 1; j < z.size(); ++j) {
    if (std::abs(z[j]) > std::abs(z[best]) || std::isnan(z[best])) best = j;
  }
  return best;
}

void add_phase_one_signal(const FeedTag& tag,
                          const BaselineRow& row,
                          Qualification& out) {
  Signal signal;
  signal.feed = tag.feed;
  signal.characteristic = out.characteristics[furthest_part(tag.z)];
  signal.misfeed = row.misfeed;
  signal.chart = row.misfeed ? "robust distance" : "t2";
  signal.value = row.misfeed ? row.robust_distance2 : tag.t2;
  signal.limit = row.misfeed ? row.limit : tag.t2_limit;
  signal.changed_at_feed = tag.feed;
  signal.interval_first = tag.feed;
  signal.interval_last = tag.feed;
  out.signals.push_back(signal);
}

std::string furthest(const Baseline& baseline,
                     const Eigen::VectorXd& values,
                     const std::vector<double>& z) {
  const std::size_t best = furthest_part(z);
  const std::string& name = baseline.characteristics[best];
  const auto k = static_cast<Eigen::Index>(best);
  return fmt::format("{} {} is {:.1f} sd from the mean {}",
                     characteristic_words(name),
                     characteristic_value(name, values(k)),
                     z[best],
                     characteristic_value(name, baseline.mean(k)));
}

std::string unknown_parts(const std::vector<std::string>& names,
                          const Eigen::VectorXd& values) {
  std::string list;
  for (Eigen::Index j = 0; j < values.size(); ++j) {
    if (std::isfinite(values(j))) continue;
    if (!list.empty()) list += ", ";
    list += names[static_cast<std::size_t>(j)];
  }
  return list.empty() ? list
                      : fmt::format("judged without {} (not known)", list);
}

void worsen(FeedTag& tag, Verdict verdict, const std::string& reason) {
  tag.verdict = std::max(tag.verdict, verdict);
  tag.reasons.push_back(reason);
}

}  // namespace

void Qualifier::tag_warm_up(Qualification& out,
                            const Baseline* provisional) const {
  for (std::size_t i = 0; i < out.tags.size(); ++i) {
    FeedTag& tag = out.tags[i];
    if (monitored_[i] ||
        (baseline_last_ >= 0 && static_cast<int>(i) >= baseline_first_)) {
      continue;
    }
    tag.phase = Phase::kWarmUp;
    tag.verdict = Verdict::kKeep;
    const Eigen::VectorXd values =
        table_.values.row(static_cast<Eigen::Index>(i)).transpose();
    const Baseline& reference =
        provisional != nullptr ? *provisional : phase_one_.baseline;
    set_z(reference, values, tag);
    if (stable_from_) {
      worsen(tag,
             Verdict::kDiscard,
             fmt::format("warm-up: the launcher was stable only from feed {}",
                         *stable_from_));
    } else if (!out.holding_back.empty()) {
      worsen(tag,
             Verdict::kReview,
             "the launcher was not ready: " + out.holding_back.front());
    }
  }
}

void Qualifier::tag_baseline(Qualification& out) const {
  if (baseline_last_ < 0) return;
  const Baseline& baseline = phase_one_.baseline;
  const Eigen::VectorXd centre = subvector(baseline.mean, baseline.joint);
  const T2Chart chart(centre,
                      submatrix(baseline.covariance, baseline.joint),
                      baseline.n,
                      1 / options_.charts.run_length,
                      tails_of(baseline, options_.charts));
  for (int i = baseline_first_; i <= baseline_last_; ++i) {
    FeedTag& tag = out.tags[static_cast<std::size_t>(i)];
    tag.phase = Phase::kBaseline;
    tag.verdict = Verdict::kKeep;
    const Eigen::VectorXd values = table_.values.row(i).transpose();
    set_z(baseline, values, tag);
    const T2Point point = chart.add(subvector(values, baseline.joint));
    if (point.p == 0) continue;
    const BaselineRow& row =
        phase_one_.rows[static_cast<std::size_t>(i - baseline_first_)];
    const bool inside = point.p == centre.size() && !row.misfeed;
    tag.t2 = point.value;
    // A vector that went into the mean and the covariance has the smaller
    // limit of phase I.
    tag.t2_limit =
        inside ? t2_limit_phase1(
                     point.p, baseline.n, 1 / options_.charts.run_length) *
                     heavy_tail_factor(point.p,
                                       tails_of(baseline, options_.charts),
                                       1 / options_.charts.run_length)
               : point.limit;
    if (row.misfeed) {
      worsen(tag,
             Verdict::kDiscard,
             fmt::format("mis-feed: {}, robust distance {:.1f} (limit {:.1f})",
                         furthest(baseline, values, tag.z),
                         row.robust_distance2,
                         row.limit));
      add_phase_one_signal(tag, row, out);
    } else if (tag.t2 > tag.t2_limit) {
      add_phase_one_signal(tag, row, out);
      worsen(tag,
             Verdict::kReview,
             fmt::format("{}, T2 {:.1f} (limit {:.1f})",
                         furthest(baseline, values, tag.z),
                         tag.t2,
                         tag.t2_limit));
    }
    if (const auto gap = unknown_parts(table_.characteristics, values);
        !gap.empty()) {
      worsen(tag, Verdict::kKeep, gap);
    }
  }
}

// The rows from `first` to `last` as this monitor saw them.
void Qualifier::tag_monitored(const Monitor& monitor,
                              int first,
                              int last,
                              Qualification& out) const {
  const auto& feeds = monitor.feeds();
  for (int i = first; i <= last; ++i) {  // none at the feed that is "ready"
    const auto k = static_cast<std::size_t>(i - first);
    FeedTag& tag = out.tags[static_cast<std::size_t>(i)];
    const MonitoredFeed& feed = feeds[k];
    tag.phase = Phase::kMonitor;
    tag.verdict = Verdict::kKeep;
    set_z(monitor.baseline(), feed.values, tag);
    tag.t2 = feed.t2.value;
    tag.t2_limit = feed.t2.limit;
    tag.mewma = feed.mewma.value;
    tag.mewma_limit = feed.mewma.limit;
    if (feed.single_signal) {
      worsen(tag,
             feed.misfeed ? Verdict::kDiscard : Verdict::kReview,
             feed.single_reason);
    }
    for (const Episode& episode : monitor.episodes()) {
      const auto at = static_cast<int>(k);
      if (at < episode.first || (episode.last >= 0 && at > episode.last)) {
        continue;
      }
      worsen(tag, Verdict::kReview, episode.reason);
    }
    if (const auto gap = unknown_parts(table_.characteristics, feed.values);
        !gap.empty() && feed.t2.p > 0) {
      worsen(tag, Verdict::kKeep, gap);
    }
  }
}

void Qualifier::tag_unmeasured(Qualification& out) const {
  for (std::size_t i = 0; i < out.tags.size(); ++i) {
    const Eigen::Index row = static_cast<Eigen::Index>(i);
    if (table_.values.row(row).array().isFinite().any()) continue;
    const std::string& why = table_.unmeasured[i];
    out.tags[i].verdict = Verdict::kDiscard;
    out.tags[i].reasons.insert(
        out.tags[i].reasons.begin(),
        "not measured: " + (why.empty() ? std::string("no values") : why));
  }
}

}  // namespace evenfeed
