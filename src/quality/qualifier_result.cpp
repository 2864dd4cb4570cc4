// SPDX-License-Identifier: MIT
// From the state of a Qualifier to readiness, gauge, charts and warnings.
#include "quality/monitor_designs.h"
#include "quality/qualifier.h"
#include "stats/descriptive.h"
#include "stats/running_stats.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace evenfeed {

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

// From the feeds up to "ready", or from all of them before it.
void Qualifier::fill_settling(Qualification& out) const {
  for (std::size_t j = 0; j < first_state_.settling.size(); ++j) {
    const Settling& one = first_state_.settling[j];
    if (!one.fits || !one.certain) continue;
    out.settling.push_back({out.characteristics[j], one.tau, one.amplitude});
  }
}

// Of the feeds that count; of all measured ones while there is no baseline.
void Qualifier::fill_balls(Qualification& out) const {
  std::vector<bool> use;
  for (const FeedTag& tag : out.tags) {
    use.push_back(tag.verdict == Verdict::kKeep ||
                  (!monitor_ && tag.verdict != Verdict::kDiscard));
  }
  out.balls = ball_effects(table_, use);
  const std::vector<std::string> words = ball_warnings(out.balls);
  out.warnings.insert(out.warnings.end(), words.begin(), words.end());
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
      limits = make_individuals(out.baseline, j, options_.charts).limits();
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
  fill_settling(out);
  fill_balls(out);
  return out;
}

}  // namespace evenfeed
