// SPDX-License-Identifier: MIT
#include "live/clock_model.h"

#include "base/check.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// Scatter below this is not believed: it would make a late frame impossible.
constexpr double kLeastScatter_s = 2e-4;
// Of the delays' distribution: bursts are late by many sigmas.
constexpr double kTails = 8;
constexpr double kHeldUp = 14;  // nats
// Each further picture lost in a row is so likely.
constexpr double kLostInRow = 0.3;
// Numbers beyond the stamp's own that are thought of, and in all.
constexpr int kAhead = 3;
constexpr double kMostNumbers = 200;
// Tukey's, 95 % as good as least squares where all is normal: what lies farther
// off does not count at all, since a burst is late in one direction.
constexpr double kTukey = 4.685;
constexpr int kRounds = 6;
// How far a camera's rate is from what it is said to be, sd.
constexpr double kRateShare = 1e-3;

double log_sum(double a, double b) {
  const double high = std::max(a, b);
  if (!std::isfinite(high)) return high;
  return high + std::log1p(std::exp(std::min(a, b) - high));
}

// log P(so many pictures lost between two frames).
double log_lost(double lost, double share) {
  if (lost == 0) return std::log1p(-share);
  return std::log(share) + std::log1p(-kLostInRow) +
         (lost - 1) * std::log(kLostInRow);
}

}  // namespace

void ClockOptions::check() const {
  require_positive(window_s, "window_s");
  require_in_range(fewest, 10, 10000, "fewest");
  require_in_range(renew_every, 1, 10000, "renew_every");
  require_in_range(longest_wait, 0, 1000, "longest_wait");
  require_in_range(sure, 0.5, 1, "sure");
  require_in_range(doubtful, 0.5, 1, "doubtful");
  require_in_range(lost_share, 1e-6, 0.5, "lost_share");
  require_positive(hopeless_error_s, "hopeless_error_s");
}

ClockModel::ClockModel(double rate_hz, const ClockOptions& options)
    : options_(options) {
  options_.check();
  require_not_negative(rate_hz, "rate_hz");
  if (rate_hz > 0) period_s_ = 1 / rate_hz;
}

double ClockModel::line_s(double number) const {
  return origin_s_ + (number - origin_number_) * period_s_;
}

// Of Student's t, and of the seldom frame that is held up for any time.
double ClockModel::cost(double stamp_s, double number) const {
  const double z = (stamp_s - line_s(number)) / jitter_s_;
  return std::min(kHeldUp, 0.5 * (kTails + 1) * std::log1p(z * z / kTails));
}

// Behind a frame that was held up others wait, and come with it.
double ClockModel::cost_behind(double before_s,
                               double before_number,
                               double stamp_s,
                               double number) const {
  constexpr double kClearly = 3;
  const double alone = cost(stamp_s, number);
  if (before_s - line_s(before_number) < kClearly * jitter_s_) return alone;
  const double z = (stamp_s - before_s) / jitter_s_;
  return std::min(alone, 0.5 * (kTails + 1) * std::log1p(z * z / kTails));
}

// The first line: the usual step over many frames, which a loss here and there
// does not move, and the usual place. False while there are too few frames.
bool ClockModel::begin_line() {
  constexpr std::size_t kOver = 10;
  const std::size_t n = waiting_.size();
  if (n < static_cast<std::size_t>(options_.fewest)) return false;
  if (period_s_ == 0) {
    std::vector<double> steps;
    for (std::size_t i = kOver; i < n; ++i) {
      steps.push_back((waiting_[i] - waiting_[i - kOver]) / kOver);
    }
    period_s_ = median(steps);
  }
  std::vector<double> places;
  for (std::size_t i = 0; i < n; ++i) {
    places.push_back(waiting_[i] - static_cast<double>(i) * period_s_);
  }
  origin_s_ = median(places);
  for (double& place : places) place = std::abs(place - origin_s_);
  // What is lost among them widens it.
  jitter_s_ =
      std::clamp(1.4826 * median(places), kLeastScatter_s, 0.4 * period_s_);
  believed_period_s_ = period_s_;
  begun_ = period_s_ > 0;
  return begun_;
}

// Forwards and backwards over the frames that wait.
std::vector<ClockModel::Candidates> ClockModel::chain_of_waiting() const {
  constexpr double kNever = -std::numeric_limits<double>::infinity();
  const auto each_step =
      [&](const Candidates& before, const Candidates& now, const auto& visit) {
        for (std::size_t j = 0; j < now.forward.size(); ++j) {
          for (std::size_t i = 0; i < before.forward.size(); ++i) {
            const double lost = now.first + static_cast<double>(j) -
                                before.first - static_cast<double>(i) - 1;
            if (lost >= 0) visit(i, j, log_lost(lost, options_.lost_share));
          }
        }
      };
  const auto behind = [&](const Candidates& before,
                          std::size_t i,
                          const Candidates& now,
                          std::size_t j) {
    return cost_behind(before.stamp_s,
                       before.first + static_cast<double>(i),
                       now.stamp_s,
                       now.first + static_cast<double>(j));
  };
  std::vector<Candidates> chain;
  // The first line lies where most frames are: those before an early loss are
  // behind it.
  double first = told_ == 0 ? -kAhead : last_.first + 1;
  for (const double stamp_s : waiting_) {
    const Candidates* before = !chain.empty() ? &chain.back()
                               : told_ > 0    ? &last_
                                              : nullptr;
    Candidates now;
    now.first = first++;
    now.stamp_s = stamp_s;
    const double own =
        origin_number_ + std::round((stamp_s - origin_s_) / period_s_) + kAhead;
    const double fewest = before == nullptr
                              ? 1.0 + kAhead
                              : static_cast<double>(before->forward.size()) +
                                    before->first - now.first + 1 + kAhead;
    const double count = std::clamp(own - now.first + 1, fewest, kMostNumbers);
    now.backward.assign(static_cast<std::size_t>(count), 0);
    // Of the first frame of all nobody knows what was before it.
    now.forward.assign(now.backward.size(), before == nullptr ? 0 : kNever);
    if (before == nullptr) {
      for (std::size_t j = 0; j < now.forward.size(); ++j) {
        now.forward[j] = -cost(stamp_s, now.first + static_cast<double>(j));
      }
    } else {
      each_step(*before, now, [&](std::size_t i, std::size_t j, double p) {
        const double here = before->forward[i] + p - behind(*before, i, now, j);
        now.forward[j] = log_sum(now.forward[j], here);
      });
    }
    chain.push_back(std::move(now));
  }
  for (std::size_t k = chain.size() - 1; k-- > 0;) {
    Candidates& before = chain[k];
    const Candidates& now = chain[k + 1];
    before.backward.assign(before.forward.size(), kNever);
    each_step(before, now, [&](std::size_t i, std::size_t j, double p) {
      const double here = now.backward[j] + p - behind(before, i, now, j);
      before.backward[i] = log_sum(before.backward[i], here);
    });
  }
  return chain;
}

std::vector<ClockModel::Placed> ClockModel::placed(
    const std::vector<Candidates>& chain) {
  std::vector<Placed> all;
  for (const Candidates& one : chain) {
    double sum = -std::numeric_limits<double>::infinity();
    std::size_t best = 0;
    const auto likely = [&](std::size_t j) {
      return one.forward[j] + one.backward[j];
    };
    for (std::size_t j = 0; j < one.forward.size(); ++j) {
      sum = log_sum(sum, likely(j));
      if (likely(j) > likely(best)) best = j;
    }
    all.push_back(
        {one.first + static_cast<double>(best), std::exp(likely(best) - sum)});
  }
  return all;
}

// What a frame may have been, without what it hardly was.
ClockModel::Candidates ClockModel::kept(const Candidates& all) {
  constexpr double kHardly = 25;  // nats below the best
  const double best = *std::max_element(all.forward.begin(), all.forward.end());
  const auto counts = [&](double p) { return p > best - kHardly; };
  const auto from =
      std::find_if(all.forward.begin(), all.forward.end(), counts);
  const auto to =
      std::find_if(all.forward.rbegin(), all.forward.rend(), counts).base();
  Candidates some;
  some.stamp_s = all.stamp_s;
  some.first = all.first + static_cast<double>(from - all.forward.begin());
  some.forward.assign(from, to);
  for (double& p : some.forward) p -= best;
  return some;
}

std::vector<FrameTime> ClockModel::tell(bool all) {
  std::vector<FrameTime> times;
  if (waiting_.empty()) return times;
  const std::vector<Candidates> chain = chain_of_waiting();
  const std::vector<Placed> found = placed(chain);
  for (std::size_t k = 0; k < found.size(); ++k) {
    const bool must = all || found.size() - k > static_cast<std::size_t>(
                                                    options_.longest_wait);
    if (!must && found[k].probability < options_.sure) break;
    last_ = kept(chain[k]);
    // The most likely number of each alone need not make a row of numbers.
    const double number = found[k].number;
    if (told_ == 0) last_number_ = number - 1;
    FrameTime time;
    time.lost = static_cast<int>(number - last_number_) - 1;
    time.doubtful = found[k].probability < options_.doubtful;
    time.t_s = line_s(number);
    if (last_t_s_) {
      time.t_s = std::max(time.t_s, *last_t_s_ + period_s_ / 2);
    }
    last_t_s_ = time.t_s;
    last_number_ = number;
    points_.push_back({number, waiting_.front()});
    waiting_.pop_front();
    ++told_;
    lost_ += time.lost;
    time.lost = std::max(0, time.lost);
    doubtful_ += time.doubtful;
    ++since_fit_;
    times.push_back(time);
  }
  while (points_.size() > 2 &&
         points_.back().stamp_s - points_.front().stamp_s > options_.window_s) {
    points_.pop_front();
  }
  return times;
}

// The first numbers make a better line, by which they are told, and it better
// numbers.
void ClockModel::better_first_line() {
  constexpr int kTimes = 3;
  for (int i = 0; i < kTimes; ++i) {
    const std::vector<Placed> first = placed(chain_of_waiting());
    points_.clear();
    for (std::size_t k = 0; k < first.size(); ++k) {
      points_.push_back({first[k].number, waiting_[k]});
    }
    fit_line();
  }
  points_.clear();
}

std::vector<FrameTime> ClockModel::add(double stamp_s) {
  waiting_.push_back(stamp_s);
  if (!begun_) {
    if (!begin_line()) return {};
    better_first_line();
  }
  std::vector<FrameTime> times = tell(false);
  if (since_fit_ >= options_.renew_every) fit_line();
  return times;
}

std::vector<FrameTime> ClockModel::finish() {
  if (!begun_) {
    options_.fewest =
        static_cast<int>(std::max<std::size_t>(2, waiting_.size()));
    if (waiting_.size() < 11 && period_s_ == 0) period_s_ = 1. / 30;
    if (!begin_line()) return {};
    better_first_line();
  }
  return tell(true);
}

// Least squares about the middle, with Tukey's weights.
void ClockModel::fit_line() {
  since_fit_ = 0;
  if (points_.size() < 10) return;
  const double middle = points_[points_.size() / 2].number;
  const double base_s = points_[points_.size() / 2].stamp_s;
  double a = line_s(middle) - base_s;
  double b = period_s_;
  for (int round = 0; round < kRounds; ++round) {
    std::vector<double> off;
    for (const Point& p : points_) {
      off.push_back(std::abs(p.stamp_s - base_s - a - b * (p.number - middle)));
    }
    jitter_s_ = std::max(kLeastScatter_s, 1.4826 * median(off));
    double w = 0, wn = 0, wnn = 0, ws = 0, wns = 0;
    for (std::size_t i = 0; i < points_.size(); ++i) {
      const double far = std::min(1.0, off[i] / (kTukey * jitter_s_));
      const double weight = (1 - far * far) * (1 - far * far);
      const double n = points_[i].number - middle;
      const double s = points_[i].stamp_s - base_s;
      w += weight;
      wn += weight * n;
      wnn += weight * n * n;
      ws += weight * s;
      wns += weight * n * s;
    }
    // What was said of the rate is nearly true: a burst among few frames would
    // else lay the line along itself.
    const double belief = jitter_s_ / (kRateShare * believed_period_s_);
    wnn += belief * belief;
    wns += belief * belief * believed_period_s_;
    const double determinant = w * wnn - wn * wn;
    if (!(determinant > 0)) return;
    b = (w * wns - wn * ws) / determinant;
    a = (ws - b * wn) / w;
  }
  period_s_ = b;
  origin_number_ = middle;
  origin_s_ = base_s + a;
  state_error();
}

// Of the line at its end: twice the standard error in its middle, and more
// where neighbouring delays are alike.
void ClockModel::state_error() {
  const auto n = static_cast<double>(points_.size());
  double squares = 0, products = 0, before = 0;
  for (std::size_t i = 0; i < points_.size(); ++i) {
    const double cut = 3 * jitter_s_;
    const double off =
        std::clamp(points_[i].stamp_s - line_s(points_[i].number), -cut, cut);
    squares += off * off;
    if (i > 0) products += off * before;
    before = off;
  }
  const double r =
      squares > 0 ? std::clamp(products / squares, 0.0, 0.95) : 0.0;
  const double memory = std::sqrt((1 + r) / (1 - r));
  error_s_ = 2 * std::sqrt(squares / n) / std::sqrt(n) * memory;
}

std::string ClockModel::hopeless() const {
  if (told_ < 5 * options_.fewest) return "";
  const auto told = static_cast<double>(told_);
  if (error_s_ > options_.hopeless_error_s) {
    return fmt::format(
        "its frames are known in time to {:.1f} ms only (stamps scatter by "
        "{:.0f} ms); {:.1f} ms is the most that can be measured with. Use a "
        "cable in place of a wireless link, or record with the camera and "
        "measure the film",
        1e3 * error_s_,
        1e3 * jitter_s_,
        1e3 * options_.hopeless_error_s);
  }
  const double lost = lost_ / (told + lost_);
  if (lost > options_.hopeless_lost) {
    return fmt::format(
        "{:.0f} % of its pictures are lost on the way; {:.0f} % is the most. "
        "Ask the camera for a smaller picture or fewer of them",
        100 * lost,
        100 * options_.hopeless_lost);
  }
  if (doubtful_ / told > options_.hopeless_doubtful) {
    return fmt::format(
        "of {:.0f} % of its frames it cannot be told which picture they are "
        "(stamps scatter by {:.0f} ms, {:.0f} ms are from one to the next). "
        "Use a cable in place of a wireless link",
        100 * doubtful_ / told,
        1e3 * jitter_s_,
        1e3 * period_s_);
  }
  return "";
}

}  // namespace evenfeed
