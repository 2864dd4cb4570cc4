// SPDX-License-Identifier: MIT
#include "pipeline/missing_feeds.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

constexpr std::size_t kFewestSteps = 5;
constexpr double kSame = 0.1;     // of the interval: by the clock
constexpr double kMostly = 0.75;  // of the steps are
constexpr int kMostMissing = 2;

bool is_near(double step_s, double interval_s, int times) {
  return std::abs(step_s - times * interval_s) < kSame * interval_s;
}

// The interval of a launcher that throws by the clock.
std::optional<double> interval_of(const std::vector<Feed>& feeds) {
  std::vector<double> steps_s;
  for (std::size_t i = 1; i < feeds.size(); ++i) {
    const double step_s = feeds[i].t_bounce_s - feeds[i - 1].t_bounce_s;
    if (step_s > 0) steps_s.push_back(step_s);
  }
  if (steps_s.size() < kFewestSteps) return std::nullopt;
  const auto middle =
      steps_s.begin() + static_cast<std::ptrdiff_t>(steps_s.size() / 2);
  std::nth_element(steps_s.begin(), middle, steps_s.end());
  const double interval_s = *middle;
  double regular = 0;
  for (const double step_s : steps_s) regular += is_near(step_s, interval_s, 1);
  if (regular < kMostly * static_cast<double>(steps_s.size())) {
    return std::nullopt;
  }
  return interval_s;
}

}  // namespace

std::vector<FeedGap> find_feed_gaps(const std::vector<Feed>& feeds) {
  std::vector<FeedGap> gaps;
  const auto interval_s = interval_of(feeds);
  if (!interval_s) return gaps;
  for (std::size_t i = 1; i < feeds.size(); ++i) {
    const Feed& before = feeds[i - 1];
    const Feed& after = feeds[i];
    for (int missing = 1; missing <= kMostMissing; ++missing) {
      if (is_near(
              after.t_bounce_s - before.t_bounce_s, *interval_s, missing + 1)) {
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
