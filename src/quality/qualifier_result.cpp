// SPDX-License-Identifier: MIT
// From the state of a Qualifier to readiness, gauge, charts and warnings.
#include "base/counted.h"
#include "quality/clean_series.h"
#include "quality/monitor_designs.h"
#include "quality/patterns.h"
#include "quality/qualifier.h"
#include "stats/descriptive.h"
#include "stats/distributions.h"
#include "stats/running_stats.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

// Share of sound sessions that get a warning of one kind by chance; how often
// they do is measured in tests/bench/warnings.
constexpr double kWarning = 0.01;

double spread_of(const std::vector<double>& values) {
  const CleanSeries series(values);
  const StretchFit line = series.fit(0, series.size() - 1);
  return line.n < 8 ? 0 : line.residual_sd;
}

}  // namespace

// What stands against a launcher that every chart calls in control.
std::vector<std::string> Qualifier::unseen_by_charts() const {
  std::vector<std::string> found;
  const int first = row_of(*stable_from_);
  for (const HoldBack& one : warm_up_.swings_since(first)) {
    found.push_back(one.text);
  }
  if (!given_) return found;  // else the warm-up has asked for the spread
  for (int j = 0; j < table_.columns(); ++j) {
    const std::string& name =
        table_.characteristics[static_cast<std::size_t>(j)];
    const double allowed = options_.allowed_spread(name);
    const double sd = spread_of(column(j, first));
    if (!(sd > allowed)) continue;
    found.push_back(fmt::format("the spread of {} is {} (sd), allowed is {}",
                                characteristic_words(name),
                                characteristic_value(name, sd),
                                characteristic_value(name, allowed)));
  }
  return found;
}

int Qualifier::row_of(int feed) const {
  return static_cast<int>(
      std::lower_bound(table_.feeds.begin(), table_.feeds.end(), feed) -
      table_.feeds.begin());
}

std::vector<double> Qualifier::column(int j, int first) const {
  std::vector<double> values;
  for (int i = first; i < table_.rows(); ++i) {
    values.push_back(table_.values(i, j));
  }
  return values;
}

void Qualifier::fill_readiness(Qualification& out) const {
  out.ready_at_feed = ready_at_;
  out.stable_from_feed = stable_from_;
  out.ready = ready_at_.has_value() && monitor_ && monitor_->in_control();
  if (out.ready) {
    out.holding_back = unseen_by_charts();
    out.ready = out.holding_back.empty();
    return;
  }
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
      out.too_few = true;
      out.more_feeds =
          options_.charts.confirm_feeds - (table_.rows() - in_control_since_);
    }
    return;
  }
  for (const HoldBack& one : state_.holding_back) {
    out.holding_back.push_back(one.text);
    out.too_few |= one.kind == HoldBackKind::kTooFew;
    out.more_feeds = std::max(out.more_feeds, one.more_feeds);
  }
  if (!out.holding_back.empty()) return;
  out.holding_back.push_back(no_baseline_.empty() ? "there are no feeds"
                                                  : no_baseline_);
}

void Qualifier::fill_evenness(Qualification& out) const {
  if (!out.baseline.ok || out.baseline.n < 2) return;
  const double degrees = out.baseline.n - 1;
  const Eigen::VectorXd sd = out.baseline.sd();
  for (int j = 0; j < table_.columns(); ++j) {
    const std::string& name =
        table_.characteristics[static_cast<std::size_t>(j)];
    const auto bound = [&](double probability) {
      return sd(j) *
             std::sqrt(degrees / chi_squared_quantile(probability, degrees));
    };
    out.evenness.push_back({name,
                            sd(j),
                            bound(0.975),
                            bound(0.025),
                            options_.allowed_spread(name)});
  }
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
  const std::vector<ChartSeries> joint = monitored_series();
  out.charts.insert(out.charts.end(), joint.begin(), joint.end());
}

// One line of points per chart, whichever monitor judged them.
std::vector<ChartSeries> Qualifier::monitored_series() const {
  std::vector<ChartSeries> all = monitor_->series();
  for (auto past = past_.rbegin(); past != past_.rend(); ++past) {
    const int end = table_.feeds[static_cast<std::size_t>(past->last)];
    const std::vector<ChartSeries> before = past->monitor.series();
    for (std::size_t c = 0; c < all.size(); ++c) {
      const auto n = std::upper_bound(
                         before[c].feeds.begin(), before[c].feeds.end(), end) -
                     before[c].feeds.begin();
      const auto put = [n](auto& to, const auto& from) {
        to.insert(to.begin(), from.begin(), from.begin() + n);
      };
      put(all[c].feeds, before[c].feeds);
      put(all[c].values, before[c].values);
      put(all[c].lower, before[c].lower);
      put(all[c].upper, before[c].upper);
    }
  }
  return all;
}

void Qualifier::fill_signals(Qualification& out) const {
  if (!monitor_) return;
  for (const Past& past : past_) {
    for (const Signal& one : past.monitor.signals()) {
      if (one.feed <= table_.feeds[static_cast<std::size_t>(past.last)]) {
        out.signals.push_back(one);
      }
    }
  }
  out.signals.insert(out.signals.end(),
                     monitor_->signals().begin(),
                     monitor_->signals().end());
}

// Told when it is no chance, which is later than limits are widened for it.
void Qualifier::warn_of_memory(Qualification& out) const {
  if (!out.baseline.ok || out.baseline_provisional) return;
  const double limit =
      normal_quantile(1 - kWarning / static_cast<double>(table_.columns())) /
      std::sqrt(static_cast<double>(out.baseline.n));
  std::vector<std::string> names;
  for (int j = 0; j < table_.columns(); ++j) {
    if (out.baseline.lag1(j) <= limit) continue;
    names.push_back(
        fmt::format("{} ({:.2f})",
                    characteristic_words(
                        table_.characteristics[static_cast<std::size_t>(j)]),
                    out.baseline.lag1(j)));
  }
  if (names.empty()) return;
  out.warnings.push_back(fmt::format(
      "each feed follows the one before it in {}: lag-1 autocorrelation. The "
      "limits are widened for it; compare samples in short turns",
      fmt::join(names, ", ")));
}

// One sentence about each, for the characteristic that shows it most.
void Qualifier::warn_of_patterns(Qualification& out) const {
  const int first = stable_from_ ? row_of(*stable_from_) : 0;
  const double level = kWarning / static_cast<double>(table_.columns());
  const bool named = std::any_of(
      table_.balls.begin(), table_.balls.end(), [](const std::string& one) {
        return !one.empty();
      });
  int alternates = -1;
  Alternation worst;
  int smaller = -1;
  SmallerSpread least;
  for (int j = 0; j < table_.columns(); ++j) {
    const std::vector<double> values = column(j, first);
    const Alternation one = find_alternation(values, level);
    const double sd = out.baseline.ok ? out.baseline.sd()(j) : 1;
    if (one.certain && (alternates < 0 || std::abs(one.difference) / sd >
                                              std::abs(worst.difference))) {
      alternates = j;
      worst = {true, std::abs(one.difference) / sd};
    }
    if (!monitor_) continue;
    const SmallerSpread now = find_smaller_spread(
        sd, out.baseline.n - 1, column(j, monitor_first_), level);
    if (now.certain && (smaller < 0 || now.now / sd < least.now)) {
      smaller = j;
      least = {true, now.now / sd};
    }
  }
  const auto name = [&](int j) {
    return table_.characteristics[static_cast<std::size_t>(j)];
  };
  // Balls that are named are compared by name.
  if (alternates >= 0 && !named) {
    const double difference =
        find_alternation(column(alternates, first), level).difference;
    out.warnings.push_back(fmt::format(
        "every second feed differs, by {} in {}: two balls or two wheels? Mark "
        "the balls (column 'ball'), or judge every second feed by itself",
        characteristic_value(name(alternates), std::abs(difference)),
        characteristic_words(name(alternates))));
  }
  if (smaller >= 0) {
    const double sd = out.baseline.sd()(smaller);
    const int from =
        std::max(monitor_first_, table_.rows() - (table_.rows() - first) / 2);
    out.warnings.push_back(fmt::format(
        "the spread of {} has become smaller than the baseline's: sd {} then, "
        "{} since. A later change would be seen late: for a new baseline judge "
        "the feeds from {} on as a trial of their own",
        characteristic_words(name(smaller)),
        characteristic_value(name(smaller), sd),
        characteristic_value(name(smaller), least.now * sd),
        table_.feeds[static_cast<std::size_t>(from)]));
  }
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
  }
  warn_of_memory(out);
  warn_of_patterns(out);
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
        fmt::format("{} of {} ({:.0f} %) could not be "
                    "measured and are discarded",
                    unmeasured,
                    counted(out.feeds, "feed"),
                    share(unmeasured)));
  }
  if (misfeeds > 0) {
    out.warnings.push_back(fmt::format("mis-feeds: {} of {} ({:.0f} %)",
                                       misfeeds,
                                       counted(out.feeds, "feed"),
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
  for (const Past& past : past_) {
    tag_monitored(past.monitor, past.first, past.last, out);
  }
  if (monitor_) {
    tag_monitored(*monitor_, monitor_first_, table_.rows() - 1, out);
  }
  tag_unmeasured(out);
  fill_signals(out);
  fill_gauge(out);
  fill_evenness(out);
  fill_charts(out);
  warn(out);
  fill_settling(out);
  fill_balls(out);
  return out;
}

}  // namespace evenfeed
