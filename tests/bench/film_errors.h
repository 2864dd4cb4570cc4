// SPDX-License-Identifier: MIT
// For the benchmarks of accuracy: feeds beside their truth.
#pragma once

#include "base/csv.h"
#include "flight/feed.h"
#include "geometry/sightings_file.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

// The true sightings of a simulated film's feeds, `track` is the feed.
inline std::vector<Sighting> true_sightings(const std::filesystem::path& folder,
                                            double sigma_px) {
  const CsvTable table = CsvTable::read(folder / "truth_sightings.csv");
  const std::size_t kind = table.require_column("kind");
  std::vector<Sighting> of_feeds;
  const std::vector<Sighting> all = read_sightings(table, sigma_px);
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (table.text(i, kind) == "feed") of_feeds.push_back(all[i]);
  }
  return of_feeds;
}

struct Column {
  const char* name;
  std::optional<Characteristic> id;  // none: the time of the bounce
  double scale;
};
inline const Column kColumns[] = {
    {"x mm", Characteristic::kX, 1},
    {"y mm", Characteristic::kY, 1},
    {"t ms", std::nullopt, 1e3},
    {"speed mm/s", Characteristic::kSpeedIn, 1e3},
    {"descent deg", Characteristic::kDescent, 1},
    {"kick /1000", Characteristic::kKick, 1e3},
    {"contact ms", Characteristic::kContactTime, 1e3},
    {"contact z mm", Characteristic::kContactZ, 1},
};

inline Measured value_of(const Feed& feed, const Column& column) {
  if (column.id) return feed[*column.id];
  return {feed.t_bounce_s, feed.st_bounce_s};
}

struct Errors {
  std::vector<double> error;
  std::vector<double> sigma;  // stated, of the feed alone
  std::vector<double> bound;

  static double rms(const std::vector<double>& all) {
    double sum = 0;
    for (const double one : all) sum += one * one;
    return std::sqrt(sum / static_cast<double>(all.size()));
  }
  double rms_bound() const { return rms(bound); }

  // Weighted by what the errors should be: a badly known one must not move what
  // is common to the others.
  double weight() const {
    double sum = 0;
    for (const double one : sigma) sum += 1 / (one * one);
    return sum;
  }
  double middle() const {
    double sum = 0;
    for (std::size_t i = 0; i < error.size(); ++i) {
      sum += error[i] / (sigma[i] * sigma[i]);
    }
    return sum / weight();
  }
  // About the mean error, which is common to the session and stated apart, and
  // for the freedom it took.
  std::vector<double> normalised() const {
    const double mean = middle();
    const double of_mean = 1 / weight();
    std::vector<double> all;
    for (std::size_t i = 0; i < error.size(); ++i) {
      all.push_back((error[i] - mean) /
                    std::sqrt(sigma[i] * sigma[i] - of_mean));
    }
    return all;
  }
  // The mean error over its stated uncertainty.
  double normalised_mean(double common_sigma) const {
    return middle() / std::hypot(common_sigma, std::sqrt(1 / weight()));
  }
};

// Is an error of a and b sigmas, correlated by rho, in the 95 % ellipse?
inline bool in_ellipse(double a, double b, double rho) {
  constexpr double kChi2 = 5.991;  // 95 %, 2 degrees of freedom
  return (a * a - 2 * rho * a * b + b * b) / (1 - rho * rho) < kChi2;
}

// A landing's error with its stated covariance.
struct LandingError {
  double x_mm, y_mm, sx_mm, sy_mm, rho;
};

// How many lie in their 95 % ellipse about the mean error, which is common to
// the session and stated apart.
inline int in_ellipses(const std::vector<LandingError>& errors) {
  double x_mm = 0, y_mm = 0;
  for (const LandingError& e : errors) {
    x_mm += e.x_mm / static_cast<double>(errors.size());
    y_mm += e.y_mm / static_cast<double>(errors.size());
  }
  return static_cast<int>(
      std::count_if(errors.begin(), errors.end(), [&](const LandingError& e) {
        return in_ellipse(
            (e.x_mm - x_mm) / e.sx_mm, (e.y_mm - y_mm) / e.sy_mm, e.rho);
      }));
}

struct Score {
  int true_feeds = 0;
  int found = 0;
  int spurious = 0;
  int in_ellipse = 0;  ///< landings within their stated 95 % ellipse
  std::vector<Errors> errors = std::vector<Errors>(std::size(kColumns));
};

// Feeds are matched by the time of the bounce, each once, both ways.
inline Score compare(const std::vector<Feed>& truth,
                     const std::vector<Feed>& measured,
                     const std::map<int, Feed>& bound) {
  constexpr double kSameFeed_s = 0.12;
  Score score;
  std::vector<char> taken(measured.size(), 0);
  std::vector<LandingError> landings;
  for (const Feed& real : truth) {
    const bool in_view = real.status == FeedStatus::kMeasured &&
                         real.note.find("out of view") == std::string::npos;
    score.true_feeds += in_view;
    std::size_t best = measured.size();
    double best_gap = kSameFeed_s;
    for (std::size_t i = 0; i < measured.size(); ++i) {
      const double gap = std::abs(measured[i].t_bounce_s - real.t_bounce_s);
      if (!taken[i] && gap < best_gap) {
        best_gap = gap;
        best = i;
      }
    }
    if (best == measured.size()) continue;
    taken[best] = 1;
    if (!in_view) continue;
    ++score.found;
    const Feed& got = measured[best];
    const auto error = [&](Characteristic id) {
      return got[id].value - real[id].value;
    };
    landings.push_back({error(Characteristic::kX),
                        error(Characteristic::kY),
                        got[Characteristic::kX].sigma,
                        got[Characteristic::kY].sigma,
                        got.rho_xy});
    for (std::size_t c = 0; c < std::size(kColumns); ++c) {
      const Measured value = value_of(got, kColumns[c]);
      const double off = value.value - value_of(real, kColumns[c]).value;
      if (!std::isfinite(off)) continue;
      score.errors[c].error.push_back(off * kColumns[c].scale);
      score.errors[c].sigma.push_back(value.sigma * kColumns[c].scale);
      if (const auto it = bound.find(real.number); it != bound.end()) {
        score.errors[c].bound.push_back(
            value_of(it->second, kColumns[c]).sigma * kColumns[c].scale);
      }
    }
  }
  score.in_ellipse = in_ellipses(landings);
  score.spurious = static_cast<int>(
      std::count(taken.begin(), taken.end(), static_cast<char>(0)));
  return score;
}

}  // namespace evenfeed
