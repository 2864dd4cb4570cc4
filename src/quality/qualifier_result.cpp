// SPDX-License-Identifier: MIT
// From the state of a Qualifier to tags, readiness and warnings.
#include "charts/t2.h"
#include "quality/qualifier.h"
#include "stats/covariance.h"
#include "stats/descriptive.h"
#include "stats/running_stats.h"

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

void add_phase_one_signal(const FeedTag& tag, Qualification& out) {
  Signal signal;
  signal.feed = tag.feed;
  signal.chart = "t2";
  signal.characteristic = out.characteristics[furthest_part(tag.z)];
  signal.value = tag.t2;
  signal.limit = tag.t2_limit;
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
                      1 / options_.charts.run_length);
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
                     point.p, baseline.n, 1 / options_.charts.run_length)
               : point.limit;
    if (row.misfeed) {
      worsen(tag,
             Verdict::kDiscard,
             fmt::format("mis-feed: {}, robust distance {:.1f} (limit {:.1f})",
                         furthest(baseline, values, tag.z),
                         row.robust_distance2,
                         row.limit));
      add_phase_one_signal(tag, out);
    } else if (tag.t2 > tag.t2_limit) {
      add_phase_one_signal(tag, out);
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

void Qualifier::tag_monitored(Qualification& out) const {
  if (!monitor_) return;
  const auto first = static_cast<std::size_t>(
      std::find(monitored_.begin(), monitored_.end(), true) -
      monitored_.begin());
  const auto& feeds = monitor_->feeds();
  for (std::size_t k = 0; k < feeds.size(); ++k) {
    FeedTag& tag = out.tags[first + k];
    const MonitoredFeed& feed = feeds[k];
    tag.phase = Phase::kMonitor;
    tag.verdict = Verdict::kKeep;
    set_z(monitor_->baseline(), feed.values, tag);
    tag.t2 = feed.t2.value;
    tag.t2_limit = feed.t2.limit;
    tag.mewma = feed.mewma.value;
    tag.mewma_limit = feed.mewma.limit;
    if (feed.single_signal) {
      worsen(tag,
             feed.misfeed ? Verdict::kDiscard : Verdict::kReview,
             feed.single_reason);
    }
    for (const Episode& episode : monitor_->episodes()) {
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

void Qualifier::fill_readiness(Qualification& out) const {
  out.ready_at_feed = ready_at_;
  out.stable_from_feed = stable_from_;
  out.ready = ready_at_.has_value() && monitor_ && monitor_->in_control();
  if (out.ready) return;
  if (monitor_) {
    for (const Episode& one : monitor_->episodes()) {
      if (one.last >= 0) continue;
      out.holding_back.push_back(one.reason);
      const int feed = table_.feeds[static_cast<std::size_t>(state_.first)];
      if (state_.ready && !one.of_spread &&
          feed >= monitor_->feeds()[static_cast<std::size_t>(one.first)].feed) {
        out.holding_back.push_back(fmt::format(
            "it has been steady at another level since feed {}: to accept that "
            "level, judge the feeds from there as a trial of their own",
            feed));
      }
    }
    if (given_ && out.holding_back.empty()) {
      out.holding_back.push_back(fmt::format(
          "too few feeds to tell: {} in control of the {} that are needed to "
          "confirm the baseline",
          table_.rows() - in_control_since_,
          options_.charts.confirm_feeds));
    }
    return;
  }
  for (const HoldBack& one : state_.holding_back) {
    out.holding_back.push_back(one.text);
  }
  if (!out.holding_back.empty()) return;
  out.holding_back.push_back(no_baseline_.empty() ? "there are no feeds"
                                                  : no_baseline_);
}

void Qualifier::fill_gauge(Qualification& out) const {
  for (int j = 0; j < table_.columns(); ++j) {
    RunningStats observed;
    std::vector<double> sigmas;
    for (int i = 0; i < table_.rows(); ++i) {
      observed.add(table_.values(i, j));
      if (std::isfinite(table_.sigmas(i, j)) &&
          std::isfinite(table_.values(i, j))) {
        sigmas.push_back(table_.sigmas(i, j));
      }
    }
    Gauge gauge;
    gauge.observed_sd = out.baseline.ok ? out.baseline.sd()(j) : observed.sd();
    if (!sigmas.empty() && gauge.observed_sd > 0) {
      gauge.measurement_sd = median(sigmas);
      gauge.ratio = gauge.measurement_sd / gauge.observed_sd;
      gauge.launcher_sd =
          std::sqrt(std::max(0.0,
                             gauge.observed_sd * gauge.observed_sd -
                                 gauge.measurement_sd * gauge.measurement_sd));
    }
    out.gauge.push_back(gauge);
  }
}

void Qualifier::fill_charts(Qualification& out) const {
  for (int j = 0; j < table_.columns(); ++j) {
    ChartSeries x;
    x.chart = "individuals";
    x.characteristic = table_.characteristics[static_cast<std::size_t>(j)];
    ChartSeries range = x;
    range.chart = "moving_range";
    IndividualsLimits limits;
    if (out.baseline.ok) {
      const double p = table_.columns();
      limits = individuals_limits(out.baseline.mean(j),
                                  out.baseline.sd()(j),
                                  out.baseline.n,
                                  1 / (options_.charts.run_length * p));
    }
    IndividualsChart chart(limits);
    x.centre = limits.centre;
    range.centre = limits.range_centre;
    for (int i = 0; i < table_.rows(); ++i) {
      const IndividualsPoint point = chart.add(table_.values(i, j));
      const int feed = table_.feeds[static_cast<std::size_t>(i)];
      if (std::isfinite(point.value)) {
        x.feeds.push_back(feed);
        x.values.push_back(point.value);
        x.lower.push_back(limits.lower);
        x.upper.push_back(limits.upper);
      }
      if (std::isfinite(point.range)) {
        range.feeds.push_back(feed);
        range.values.push_back(point.range);
        range.lower.push_back(kNotKnown);
        range.upper.push_back(limits.range_upper);
      }
    }
    out.charts.push_back(std::move(x));
    out.charts.push_back(std::move(range));
  }
  if (!monitor_) return;
  const std::vector<ChartSeries> joint = monitor_->series();
  out.charts.insert(out.charts.end(), joint.begin(), joint.end());
}

void Qualifier::warn(Qualification& out) const {
  out.warnings.insert(out.warnings.end(),
                      out.baseline.warnings.begin(),
                      out.baseline.warnings.end());
  for (std::size_t j = 0; j < out.gauge.size(); ++j) {
    const std::string what = characteristic_words(out.characteristics[j]);
    if (out.gauge[j].ratio > 1.0 / 3) {
      out.warnings.push_back(fmt::format(
          "the measurement accounts for much of the spread of {}: its sd {} is "
          "{:.0f} % of the observed {}",
          what,
          characteristic_value(out.characteristics[j],
                               out.gauge[j].measurement_sd),
          100 * out.gauge[j].ratio,
          characteristic_value(out.characteristics[j],
                               out.gauge[j].observed_sd)));
    }
    if (out.baseline.ok && out.baseline.lag1(static_cast<int>(j)) > 0) {
      out.warnings.push_back(fmt::format(
          "feeds follow each other in {}: lag-1 autocorrelation {:.2f}; its "
          "limits are widened for it",
          what,
          out.baseline.lag1(static_cast<int>(j))));
    }
  }
  int unmeasured = 0;
  int misfeeds = 0;
  for (const FeedTag& tag : out.tags) {
    if (tag.reasons.empty()) continue;
    unmeasured += tag.reasons.front().rfind("not measured", 0) == 0 ? 1 : 0;
    misfeeds += tag.reasons.front().rfind("mis-feed", 0) == 0 ? 1 : 0;
  }
  const auto share = [&](int part) { return 100.0 * part / out.feeds; };
  if (unmeasured > 0) {
    out.warnings.push_back(
        fmt::format("{} of {} feeds ({:.0f} %) could not be "
                    "measured and are discarded",
                    unmeasured,
                    out.feeds,
                    share(unmeasured)));
  }
  if (misfeeds > 0) {
    out.warnings.push_back(
        fmt::format("{} of {} feeds ({:.0f} %) are mis-feeds",
                    misfeeds,
                    out.feeds,
                    share(misfeeds)));
  }
}

Qualification Qualifier::result() const {
  Qualification out;
  out.characteristics = table_.characteristics;
  out.feeds = table_.rows();
  out.baseline_given = given_;
  if (monitor_) out.baseline = monitor_->baseline();
  for (const int feed : table_.feeds) {
    FeedTag tag;
    tag.feed = feed;
    tag.z.assign(table_.characteristics.size(), kNotKnown);
    out.tags.push_back(tag);
  }
  fill_readiness(out);
  if (!monitor_ && table_.rows() > 0) {
    // Only so that distances can be shown; it decides nothing.
    out.baseline =
        fit_baseline(
            table_, 0, table_.rows() - 1, options_.charts.misfeed_probability)
            .baseline;
    out.baseline_provisional = out.baseline.ok;
  }
  tag_warm_up(out, monitor_ ? nullptr : &out.baseline);
  tag_baseline(out);
  tag_monitored(out);
  tag_unmeasured(out);
  if (monitor_) {
    out.signals.insert(out.signals.end(),
                       monitor_->signals().begin(),
                       monitor_->signals().end());
  }
  fill_gauge(out);
  fill_charts(out);
  warn(out);
  return out;
}

}  // namespace evenfeed
