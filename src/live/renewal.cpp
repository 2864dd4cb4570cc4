// SPDX-License-Identifier: MIT
#include "live/renewal.h"

#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>
#include <exception>
#include <utility>

#include <sys/resource.h>
#include <unistd.h>

namespace evenfeed {
namespace {

constexpr int kIdleShare = 2;  // as long again, so often, nothing is renewed
constexpr int kNice = 10;

LiveFeed renewed_feed(const Feed& feed, const FlownFeed& flown) {
  LiveFeed one;
  one.feed = feed;
  one.first_s =
      flown.sightings.empty() ? feed.t_launch_s : flown.sightings.front().t_s;
  one.last_s =
      flown.sightings.empty() ? one.first_s : flown.sightings.back().t_s;
  one.settled = one.renewed = true;
  return one;
}

// The median, over the last feeds, of what the session states by what one alone
// would have.
Widening widening_of(const FeedMeasurer& measurer,
                     const ToldSoFar& told,
                     const std::vector<LiveFeed>& feeds) {
  constexpr std::size_t kLast = 12;
  constexpr double kMost = 10;
  std::array<std::vector<double>, kCharacteristicCount> ratios;
  const std::vector<FoundFeed>& found = measurer.found();
  for (std::size_t i = found.size() - std::min(kLast, found.size());
       i < found.size();
       ++i) {
    const double t_s = found[i].sightings.front().t_s;
    const auto same =
        std::find_if(feeds.begin(), feeds.end(), [&](const LiveFeed& one) {
          return one.first_s <= t_s && t_s <= one.last_s;
        });
    if (same == feeds.end()) continue;
    const Feed alone = measurer.measure_now(found[i], told);
    for (std::size_t k = 0; k < ratios.size(); ++k) {
      const double ratio = same->feed.values[k].sigma / alone.values[k].sigma;
      if (std::isfinite(ratio)) ratios[k].push_back(ratio);
    }
  }
  Widening by = no_widening();
  for (std::size_t k = 0; k < by.size(); ++k) {
    if (!ratios[k].empty()) by[k] = std::clamp(median(ratios[k]), 1.0, kMost);
  }
  return by;
}

}  // namespace

Widening no_widening() {
  Widening by{};
  by.fill(1);
  return by;
}

void widen(Feed& feed, const Widening& by) {
  for (std::size_t k = 0; k < by.size(); ++k) feed.values[k].sigma *= by[k];
}

Renewed renew(const FeedMeasurer& measurer, const JudgeOptions& judging) {
  Renewed done;
  try {
    for (const FoundFeed& found : measurer.found()) {
      done.until_s = std::max(done.until_s, found.sightings.front().t_s);
    }
    const Measurement all = measurer.so_far();
    for (std::size_t i = 0; i < all.fit.feeds.size(); ++i) {
      done.feeds.push_back(renewed_feed(all.fit.feeds[i], all.fit.flown[i]));
    }
    done.told = told_so_far(all.fit);
    done.widening = widening_of(measurer, done.told, done.feeds);
    done.warnings = all.fit.warnings;
    done.judge.emplace(judging);
    done.judge->restart(all.fit.feeds);
  } catch (const std::exception& error) {
    done = {};
    done.failed = error.what();
  }
  return done;
}

Renewal::Renewal(JudgeOptions judging, bool apart)
    : judging_(std::move(judging)), apart_(apart) {}

Renewal::~Renewal() {
  if (work_.valid()) work_.wait();
}

bool Renewal::may_begin() const {
  return !work_.valid() && (!apart_ || Clock::now() >= not_before_);
}

void Renewal::begin(const FeedMeasurer& measurer) {
  began_ = Clock::now();
  if (!apart_) {
    std::promise<Renewed> at_once;
    at_once.set_value(renew(measurer, judging_));
    work_ = at_once.get_future();
    return;
  }
  work_ =
      std::async(std::launch::async, [copy = FeedMeasurer(measurer), this]() {
        // Frames come first. (Threads that it starts inherit this.)
        setpriority(PRIO_PROCESS, static_cast<id_t>(gettid()), kNice);
        return renew(copy, judging_);
      });
}

std::optional<Renewed> Renewal::take() {
  if (!work_.valid() ||
      work_.wait_for(std::chrono::seconds(0)) != std::future_status::ready) {
    return std::nullopt;
  }
  const auto now = Clock::now();
  not_before_ = now + kIdleShare * (now - began_);
  return work_.get();
}

}  // namespace evenfeed
