// SPDX-License-Identifier: MIT
#include "bench/world_score.h"

#include "pipeline/feed_measurer.h"
#include "pipeline/measure.h"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr double kSameBounce_s = 0.06;
constexpr int kSeenWell = 4;
constexpr int kSeenAtAll = 8;
// Matches rows to feeds, each once, and counts.
class Judge {
 public:
  Judge(std::uint64_t seed,
        const std::vector<WorldBall>& balls,
        const WorldSightings& seen,
        const SessionFit& fit)
      : balls_(balls), seen_(seen), rows_(fit.feeds), fit_(fit) {
    score_.seed = seed;
    row_of_ball_.assign(balls.size(), -1);
    ball_of_row_.assign(rows_.size(), -1);
  }

  WorldScore score() {
    match_bounces();
    match_launches();
    for (std::size_t b = 0; b < balls_.size(); ++b) {
      if (balls_[b].feed) count_feed(b);
    }
    for (std::size_t r = 0; r < rows_.size(); ++r) count_row(r);
    score_.common_sigma = common_sigmas(fit_);
    score_.shared = fit_.shared;
    score_.warnings = fit_.warnings;
    score_.sigma_scale = fit_.sigma_scale;
    score_.landings = static_cast<int>(landings_.size());
    score_.in_ellipse = in_ellipses(landings_);
    return std::move(score_);
  }

 private:
  void match(std::size_t ball, std::size_t row) {
    row_of_ball_[ball] = static_cast<int>(row);
    ball_of_row_[row] = static_cast<int>(ball);
  }

  void match_bounces() {
    struct Pair {
      double gap_s;
      std::size_t ball, row;
    };
    std::vector<Pair> pairs;
    for (std::size_t b = 0; b < balls_.size(); ++b) {
      if (!balls_[b].feed) continue;
      for (std::size_t r = 0; r < rows_.size(); ++r) {
        if (rows_[r].status == FeedStatus::kUnmeasured) continue;
        const double gap_s =
            std::abs(rows_[r].t_bounce_s - balls_[b].t_first_touch_s);
        if (gap_s < kSameBounce_s) pairs.push_back({gap_s, b, r});
      }
    }
    std::sort(pairs.begin(), pairs.end(), [](const Pair& a, const Pair& b) {
      return a.gap_s < b.gap_s;
    });
    for (const Pair& pair : pairs) {
      if (row_of_ball_[pair.ball] < 0 && ball_of_row_[pair.row] < 0) {
        match(pair.ball, pair.row);
      }
    }
  }

  // What is left by the time: the row begins or lands while the ball was on
  // its way.
  void match_launches() {
    constexpr double kSlack_s = 0.06;
    for (std::size_t r = 0; r < rows_.size(); ++r) {
      if (ball_of_row_[r] >= 0) continue;
      for (std::size_t b = 0; b < balls_.size(); ++b) {
        const WorldBall& ball = balls_[b];
        if (!ball.feed || row_of_ball_[b] >= 0) continue;
        const double from_s = ball.truth.t_launch_s - kSlack_s;
        const double to_s = std::isfinite(ball.t_second_touch_s)
                                ? ball.t_second_touch_s
                                : ball.path.end_s();
        const auto within = [&](double t_s) {
          return t_s > from_s && t_s < to_s + kSlack_s;
        };
        if (!within(rows_[r].t_launch_s) && !within(rows_[r].t_bounce_s)) {
          continue;
        }
        match(b, r);
        break;
      }
    }
  }

  void count_feed(std::size_t b) {
    const WorldBall& ball = balls_[b];
    const SeenCount& seen = seen_.seen[b];
    const int r = row_of_ball_[b];
    ++score_.launches;
    score_.falling += ball.truth.bounced && seen.below >= 3;
    const bool well = ball.truth.bounced && seen.before >= kSeenWell &&
                      seen.after >= kSeenWell;
    const bool measured =
        r >= 0 && rows_[r].status == FeedStatus::kMeasured &&
        std::abs(rows_[r].t_bounce_s - ball.truth.t_bounce_s) < kSameBounce_s;
    score_.bouncing += well;
    score_.found += well && measured;
    if (seen.before + seen.after >= kSeenAtAll) {
      ++score_.expected;
      score_.missing += r < 0;
      score_.missing_misfeeds += r < 0 && ball.misfeed != Misfeed::kNone;
    }
    std::string line =
        fmt::format("{:3} {:7.3f} s {:8}, seen {:2} + {:2} ({:2} below): ",
                    ball.truth.number,
                    ball.truth.t_launch_s,
                    word(ball.misfeed),
                    seen.before,
                    seen.after,
                    seen.below);
    if (r < 0) {
      line += "NO ROW";
    } else {
      if (rows_[r].status != FeedStatus::kMeasured) line += "not measured ";
      if (ball.truth.bounced) add_errors(ball.truth, rows_[r], measured, line);
      if (!rows_[r].note.empty()) line += " (" + rows_[r].note + ")";
    }
    score_.lines.push_back(std::move(line));
  }

  void add_errors(const TrueFeed& truth,
                  const Feed& feed,
                  bool measured,
                  std::string& line) {
    const WorldRow row = measured_row(feed);
    const auto real = true_row(truth);
    const bool returned = std::isfinite(row[kWorldQuantities - 2].value);
    score_.false_returns += returned && !truth.hit_sample;
    for (int q = 0; q < kWorldQuantities; ++q) {
      const double error = row[q].value - real[q];
      if (!std::isfinite(error / row[q].sigma)) {
        line += "     -";
        continue;
      }
      line += fmt::format(" {:5.1f}", error / row[q].sigma);
      if (!measured) continue;
      score_.errors[q].error.push_back(error * kWorldQuantity[q].scale);
      score_.errors[q].sigma.push_back(row[q].sigma * kWorldQuantity[q].scale);
    }
    line += fmt::format(
        "  x {:.1f} +- {:.1f} mm", row[0].value - real[0], row[0].sigma);
    if (!measured) return;
    landings_.push_back({row[0].value - real[0],
                         row[1].value - real[1],
                         row[0].sigma,
                         row[1].sigma,
                         feed.rho_xy});
  }

  void count_row(std::size_t r) {
    const Feed& feed = rows_[r];
    const bool measured = feed.status == FeedStatus::kMeasured;
    const int b = ball_of_row_[r];
    // On the launcher's half, or into the net: its own first touch at least.
    const bool true_touch =
        b >= 0 &&
        std::abs(feed.t_bounce_s - balls_[b].t_first_touch_s) < kSameBounce_s;
    if (measured && !true_touch) {
      ++score_.false_rows;
    } else if (!measured && b < 0) {
      ++score_.ghost_rows;
    } else {
      return;
    }
    score_.lines.push_back(
        fmt::format("    {:7.3f} s, bounce {:.3f} s at x {:.0f} y {:.0f}: {} "
                    "({} sightings) {}",
                    feed.t_launch_s,
                    feed.t_bounce_s,
                    feed[Characteristic::kX].value,
                    feed[Characteristic::kY].value,
                    measured ? "FALSE" : "GHOST",
                    feed.sightings,
                    feed.note));
  }

  const std::vector<WorldBall>& balls_;
  const WorldSightings& seen_;
  const std::vector<Feed>& rows_;
  const SessionFit& fit_;
  std::vector<int> row_of_ball_, ball_of_row_;
  std::vector<LandingError> landings_;
  WorldScore score_;
};

}  // namespace

Measurement measure_frames(const RandomWorld& world,
                           const std::vector<Sighting>& sightings) {
  std::map<int, std::vector<Sighting>> by_frame;
  for (const Sighting& s : sightings) by_frame[s.frame].push_back(s);
  FeedMeasurer measurer(world.bench, world.profile, {});
  const int frames = by_frame.empty() ? 0 : by_frame.rbegin()->first + 1;
  for (int frame = 0; frame < frames; ++frame) {
    const auto here = by_frame.find(frame);
    measurer.add_frame(
        frame / world.scene.camera.fps,
        here == by_frame.end() ? std::vector<Sighting>{} : here->second);
  }
  return measurer.finish();
}

WorldScore judge_world(const RandomWorld& world, const SessionFit& fit) {
  const std::vector<WorldBall> balls = throw_balls(world);
  const WorldSightings seen = look(world, balls);
  return Judge(world.seed, balls, seen, fit).score();
}

WorldScore measure_world(const RandomWorld& world, bool as_file) {
  const std::vector<WorldBall> balls = throw_balls(world);
  const WorldSightings seen = look(world, balls);
  const Measurement measured =
      as_file
          ? measure_sightings(seen.sightings, world.bench, world.profile, {})
          : measure_frames(world, seen.sightings);
  WorldScore score = Judge(world.seed, balls, seen, measured.fit).score();
  score.retimed = measured.mistimed || measured.saved_again;
  return score;
}

}  // namespace evenfeed
