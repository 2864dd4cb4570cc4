// SPDX-License-Identifier: MIT
// Films cut together in mid-flight: one feed of a random world (world.h) is cut
// off at a random frame and goes on as a later one, 0 to 1 frame out of step,
// with time stamps that run on. What becomes of its row?
//
//   build/tests/bench/chimeras [--worlds N] [--first K] [--each N] [--easy]
//
// Of each world `each` films are made, one join in each. A row is near a feed
// when x, y, the time and the speed are all within 3 sigmas of it (own and the
// session's); the rows of feeds that were left whole say how many that are by
// chance. The worst are told.
#include "bench/draws.h"
#include "bench/world_quantities.h"
#include "bench/world_score.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <exception>
#include <string>
#include <vector>

#include <fmt/format.h>

namespace {

using namespace evenfeed;

constexpr int kHeld = 4;  // x, y, t, speed
constexpr double kNear = 3;
constexpr int kFewestSeen = 4;  // of each ball, in its chimera

struct Counts {
  int films = 0;
  int near_first = 0, near_second = 0;  // measured
  int wrong = 0, gross = 0;             // measured, near neither
  int refused = 0, of_splice = 0;       // rows without numbers
  int no_row = 0;
  int whole = 0, whole_off = 0, whole_refused = 0;
};

struct Chimera {
  std::size_t first = 0, second = 0;  // balls
  int shift = 0;                      // frames by which the second is earlier
  int join = 0;                       // first frame of the second
};

// The sightings of each ball alone, so that one can be cut.
std::vector<std::vector<Sighting>> ball_by_ball(
    const RandomWorld& world, const std::vector<WorldBall>& balls) {
  std::vector<std::vector<Sighting>> all;
  for (std::size_t b = 0; b < balls.size(); ++b) {
    RandomWorld own = world;
    own.seed = world.seed * 1000 + b;
    own.eyes.strays_per_frame = 0;
    all.push_back(look(own, {balls[b]}).sightings);
  }
  return all;
}

double first_s(const WorldBall& ball) { return ball.truth.t_bounce_s; }

// Where the second ball is as far on its way as the first, or up to a frame
// further.
Chimera draw_chimera(const std::vector<WorldBall>& balls,
                     const std::vector<std::vector<Sighting>>& seen,
                     double fps,
                     Draws& draws) {
  std::vector<std::size_t> feeds;
  for (std::size_t b = 0; b < balls.size(); ++b) {
    if (balls[b].feed && balls[b].truth.bounced && seen[b].size() >= 12) {
      feeds.push_back(b);
    }
  }
  if (feeds.size() < 6) return {};
  Chimera one;
  const auto at = static_cast<std::size_t>(
      draws.even(0, static_cast<double>(feeds.size()) - 1.01));
  one.first = feeds[at];
  one.second = feeds[at + 1];
  const double apart_s = first_s(balls[one.second]) - first_s(balls[one.first]);
  one.shift = static_cast<int>(std::floor(apart_s * fps));
  const int from = seen[one.first][kFewestSeen].frame;
  const int to = std::min(
      seen[one.first].back().frame,
      static_cast<int>((balls[one.first].truth.t_bounce_s + 0.2) * fps));
  one.join = static_cast<int>(draws.even(from, to));
  return one;
}

std::vector<Sighting> film_of(const RandomWorld& world,
                              const std::vector<std::vector<Sighting>>& seen,
                              const Chimera& cut) {
  std::vector<Sighting> film;
  const double fps = world.scene.camera.fps;
  for (const auto& ball : seen) {
    for (Sighting s : ball) {
      const bool later = s.frame >= cut.join + cut.shift;
      if (s.frame >= cut.join && !later) continue;  // taken out
      if (later) s.frame -= cut.shift;
      s.t_s = world.bench.camera.mid_exposure_s(s.frame / fps, s.centre_px.y());
      film.push_back(s);
    }
  }
  return film;
}

// The largest of the differences in sigmas.
double off(const Feed& row,
           const WorldBall& ball,
           double earlier_s,
           const WorldValues& common) {
  const WorldRow is = measured_row(row);
  WorldValues was = true_row(ball.truth);
  was[2] -= earlier_s;
  double worst = 0;
  for (int q = 0; q < kHeld; ++q) {
    const double alike = common[q] / kWorldQuantity[q].scale;
    const double sigma =
        std::hypot(is[q].sigma, std::isfinite(alike) ? alike : 0);
    worst = std::max(worst, std::abs(is[q].value - was[q]) / sigma);
  }
  return worst;
}

class Tally {
 public:
  explicit Tally(const RandomWorld& world) : world_(world) {}

  void film(const std::vector<WorldBall>& balls,
            const Chimera& cut,
            const SessionFit& fit,
            Counts& counts) {
    const double shift_s = cut.shift / world_.scene.camera.fps;
    const WorldValues common = common_sigmas(fit);
    ++counts.films;
    const double at_s = first_s(balls[cut.first]);
    const Feed* row = row_at(fit, at_s);
    if (row == nullptr) {
      ++counts.no_row;
    } else if (row->status != FeedStatus::kMeasured) {
      ++counts.refused;
      counts.of_splice += row->note.find("another ball") != std::string::npos;
    } else {
      const double a = off(*row, balls[cut.first], 0, common);
      const double b = off(*row, balls[cut.second], shift_s, common);
      count(std::min(a, b), a < b, cut, *row, counts);
    }
    for (std::size_t b = 0; b < balls.size(); ++b) {
      if (!balls[b].feed || !balls[b].truth.bounced || b == cut.first) continue;
      const bool later = b > cut.second;
      if (!later && b > cut.first) continue;
      const double by_s = later ? shift_s : 0;
      const Feed* whole = row_at(fit, first_s(balls[b]) - by_s);
      if (whole == nullptr) continue;
      ++counts.whole;
      if (whole->status == FeedStatus::kMeasured) {
        counts.whole_off += off(*whole, balls[b], by_s, common) > kNear;
      }
      counts.whole_refused +=
          whole->note.find("another ball") != std::string::npos;
    }
  }

 private:
  static const Feed* row_at(const SessionFit& fit, double bounce_s) {
    for (const Feed& feed : fit.feeds) {
      const bool bounced = std::abs(feed.t_bounce_s - bounce_s) < 0.06;
      const bool launched = !std::isfinite(feed.t_bounce_s) &&
                            std::abs(feed.t_launch_s + 0.3 - bounce_s) < 0.35;
      if (bounced || launched) return &feed;
    }
    return nullptr;
  }

  void count(double sigmas,
             bool nearer_first,
             const Chimera& cut,
             const Feed& row,
             Counts& counts) const {
    if (sigmas <= kNear) {
      ++(nearer_first ? counts.near_first : counts.near_second);
      return;
    }
    ++counts.wrong;
    counts.gross += sigmas > 2 * kNear;
    fmt::print(
        "world {} joined at frame {}, {:.0f} ms before its bounce: {:.1f} "
        "sigmas from either, x {:.0f} +- {:.1f} mm, {} sightings, {:.2f} px\n",
        world_.seed,
        cut.join,
        1e3 * (row.t_bounce_s - cut.join / world_.scene.camera.fps),
        sigmas,
        row[Characteristic::kX].value,
        row[Characteristic::kX].sigma,
        row.sightings,
        row.rms_px);
  }

  const RandomWorld& world_;
};

void join_films(const RandomWorld& world, int each, Counts& counts) {
  const std::vector<WorldBall> balls = throw_balls(world);
  const auto seen = ball_by_ball(world, balls);
  Draws draws(world.seed, "chimeras");
  for (int i = 0; i < each; ++i) {
    const Chimera cut =
        draw_chimera(balls, seen, world.scene.camera.fps, draws);
    if (cut.shift == 0) return;
    const auto film = film_of(world, seen, cut);
    Tally(world).film(balls, cut, measure_frames(world, film).fit, counts);
  }
}

}  // namespace

int main(int argc, char** argv) {
  std::uint64_t first = 1, worlds = 50;
  int each = 4;
  bool easy = false;
  for (int i = 1; i < argc; ++i) {
    const std::string option = argv[i];
    if (option == "--easy") {
      easy = true;
    } else if (i + 1 < argc && option == "--worlds") {
      worlds = std::stoull(argv[++i]);
    } else if (i + 1 < argc && option == "--first") {
      first = std::stoull(argv[++i]);
    } else if (i + 1 < argc && option == "--each") {
      each = std::stoi(argv[++i]);
    } else {
      fmt::print("chimeras [--worlds N] [--first K] [--each N] [--easy]\n");
      return 2;
    }
  }
  const Profile profile =
      load_profile(EVENFEED_ROOT "/profiles/table-tennis.toml");
  Counts counts;
  for (std::uint64_t seed = first; seed < first + worlds; ++seed) {
    try {
      join_films(draw_world(profile, seed, easy), each, counts);
    } catch (const std::exception& error) {
      fmt::print("world {} THREW: {}\n", seed, error.what());
    }
    std::fflush(stdout);
  }
  fmt::print(
      "{} films: measured near the first ball {}, near the second {}, near "
      "neither {} ({} by more than 6 sigmas); refused {} ({} as another "
      "ball's), no row {}\n"
      "{} rows of whole feeds: {} measured and more than 3 sigmas off, {} "
      "refused as another ball's\n",
      counts.films,
      counts.near_first,
      counts.near_second,
      counts.wrong,
      counts.gross,
      counts.refused,
      counts.of_splice,
      counts.no_row,
      counts.whole,
      counts.whole_off,
      counts.whole_refused);
}
