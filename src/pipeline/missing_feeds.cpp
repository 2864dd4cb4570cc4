// SPDX-License-Identifier: MIT
#include "pipeline/missing_feeds.h"

#include "flight/empty_beats.h"

#include <cmath>
#include <utility>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

constexpr double kSame = 0.1;  // of the interval: by the clock
constexpr int kMostMissing = 2;

bool is_near(double step_s, double interval_s, int times) {
  return std::abs(step_s - times * interval_s) < kSame * interval_s;
}

// 0, of which nothing is near: it does not keep time.
double interval_of_s(const std::vector<Feed>& feeds) {
  std::vector<double> bounces_s;
  for (const Feed& feed : feeds) {
    if (std::isfinite(feed.t_bounce_s)) bounces_s.push_back(feed.t_bounce_s);
  }
  return launcher_beat(std::move(bounces_s)).interval_s;
}

}  // namespace

std::vector<FeedGap> find_feed_gaps(const std::vector<Feed>& feeds) {
  std::vector<FeedGap> gaps;
  const double interval_s = interval_of_s(feeds);
  for (std::size_t i = 1; i < feeds.size(); ++i) {
    const Feed& before = feeds[i - 1];
    const Feed& after = feeds[i];
    for (int missing = 1; missing <= kMostMissing; ++missing) {
      if (is_near(
              after.t_bounce_s - before.t_bounce_s, interval_s, missing + 1)) {
        gaps.push_back(
            {before.number, before.t_bounce_s, after.t_bounce_s, missing});
      }
    }
  }
  return gaps;
}

std::string feed_gap_words(const std::vector<FeedGap>& gaps) {
  if (gaps.empty()) return {};
  constexpr std::size_t kNamed = 5;
  int missing = 0;
  std::vector<std::string> places;
  for (const FeedGap& gap : gaps) {
    missing += gap.missing;
    if (places.size() < kNamed) {
      places.push_back(fmt::format(
          "{} ({:.1f} to {:.1f} s)", gap.after, gap.from_s, gap.until_s));
    }
  }
  return fmt::format(
      "the launcher throws by the clock, but {} to have left no row: "
      "look at the film after feed {}{}. If there was a ball, the picture is "
      "too coarse or it was hidden, and the feeds after it were launched later "
      "than their numbers say",
      missing == 1 ? "one feed seems" : fmt::format("{} feeds seem", missing),
      fmt::join(places, ", "),
      gaps.size() > kNamed ? " and others" : "");
}

}  // namespace evenfeed
