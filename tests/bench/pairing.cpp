// SPDX-License-Identifier: MIT
// What matched pairs are worth, and how fast they are found.
//
//   pairing [RUNS]        (default 2000 per line; 0: the speed only)
//
// Statistics: two invented samples, all of A before all of B, while the feed
// drifts so that the raw difference of the outcome is biased by 0, 0.5, 1, 2
// of its standard deviations. A line each without and with a true difference.
// Speed: 2,000 and 5,000 feeds a side, with the time of scipy's
// linear_sum_assignment on the same distances where python3 has it.
#include "base/random.h"

#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <random>
#include <string>
#include <vector>

#include "pairing/comparison.h"
#include <fmt/format.h>
#include <sys/resource.h>

namespace evenfeed {
namespace {

constexpr int kFeeds = 150;
// Of the outcome's variance at a steady feed, so much comes with the feed.
constexpr double kExplained = 0.6;
constexpr double kCurved = 0.05;  // of the feed's part, per sd squared
// Standard uncertainty of a characteristic in sd of the feed.
constexpr double kMeasured = 0.1;

struct Trial {
  std::vector<Sample> samples;
  Outcome outcome;
};

// Length, speed and descent share a cause; the place across does not.
Eigen::Vector4d feed_of(RandomEngine& random, double drift) {
  std::normal_distribution<double> normal;
  const double elevation = normal(random);
  const double strength = normal(random);
  return {0.8 * elevation + 0.6 * strength + drift,
          normal(random),
          strength + drift,
          -0.7 * elevation + 0.7 * normal(random)};
}

double made_of_feed(const Eigen::Vector4d& feed) {
  // Variance 1 at a steady feed: 0.48 (0.8 e + 0.6 s) + 0.6 s + 0.25 y
  const double sum = 0.48 * feed(0) + 0.6 * feed(2) + 0.25 * feed(1);
  const double sd = std::sqrt(std::pow(0.48 * 0.8, 2) +
                              std::pow(0.48 * 0.6 + 0.6, 2) + 0.25 * 0.25);
  return sum / sd;
}

// The drift of the feed whose part of the outcome is 1.
const double kDriftPerPart =
    1 / (made_of_feed({1, 0, 1, 0}) - made_of_feed({0, 0, 0, 0}));

Trial invent(double bias_sd, double truth, int run) {
  RandomEngine random =
      derived_engine(static_cast<std::uint64_t>(run),
                     fmt::format("pairing {} {}", bias_sd, truth));
  std::normal_distribution<double> normal;
  // B minus A is biased by `bias_sd`; the means lie half the way apart.
  const double whole_drift =
      2 * bias_sd * kDriftPerPart / std::sqrt(kExplained);
  Trial trial;
  trial.outcome.name = "outcome";
  for (int s = 0; s < 2; ++s) {
    Sample sample;
    sample.name = s == 0 ? "A" : "B";
    sample.characteristics = {"x", "y", "speed", "descent"};
    sample.values.resize(kFeeds, 4);
    sample.sigmas = Eigen::MatrixXd::Constant(kFeeds, 4, kMeasured);
    Eigen::VectorXd values(kFeeds);
    for (int i = 0; i < kFeeds; ++i) {
      sample.feeds.push_back(s * kFeeds + i + 1);
      sample.order.push_back(s * kFeeds + i + 1);
      sample.rho_xy.push_back(0);
      const double time = (s * kFeeds + i + 0.5) / (2 * kFeeds);
      const Eigen::Vector4d feed = feed_of(random, whole_drift * (time - 0.5));
      const double part = made_of_feed(feed);
      values(i) = std::sqrt(kExplained) * (part + kCurved * part * part) +
                  std::sqrt(1 - kExplained) * normal(random) +
                  (s == 0 ? truth : 0);
      for (int k = 0; k < 4; ++k) {
        sample.values(i, k) = feed(k) + kMeasured * normal(random);
      }
    }
    trial.samples.push_back(std::move(sample));
    trial.outcome.values.push_back(values);
    trial.outcome.sigmas.push_back(Eigen::VectorXd::Zero(kFeeds));
  }
  return trial;
}

struct Tally {
  double raw_bias = 0;
  double uncorrected_bias = 0;
  double bias = 0;
  double adjusted_bias = 0;
  double pairs = 0;
  int covered = 0;
  int rejected = 0;
  int raw_rejected = 0;
  int runs = 0;
};

Tally tally(double bias_sd, double truth, int runs) {
  Tally sum;
  EffectOptions options;
  options.resamples = 100;
  for (int run = 0; run < runs; ++run) {
    const Trial trial = invent(bias_sd, truth, run);
    const FeedDistance distance(trial.samples, {});
    const Matching matching = match(trial.samples, distance);
    const Effect effect = estimate_effect(
        trial.samples, matching, distance, trial.outcome, 0, 1, options);
    if (!effect.matched.ok) continue;
    ++sum.runs;
    sum.raw_bias += effect.raw.value - truth;
    sum.uncorrected_bias += effect.uncorrected.value - truth;
    sum.bias += effect.matched.value - truth;
    sum.adjusted_bias += effect.adjusted.value - truth;
    sum.pairs += effect.sets;
    sum.covered += effect.matched.interval.contains(truth);
    sum.rejected += effect.matched.p <= 0.05;
    sum.raw_rejected += effect.raw.p <= 0.05;
  }
  return sum;
}

void print_statistics(int runs) {
  fmt::print("{} runs a line, {} feeds a side, default calipers (1 sd)\n\n",
             runs,
             kFeeds);
  fmt::print("{:>6}{:>7}{:>7}{:>10}{:>12}{:>10}{:>10}{:>10}{:>10}{:>11}\n",
             "drift",
             "truth",
             "pairs",
             "raw bias",
             "pairs only",
             "matched",
             "regress.",
             "covers %",
             "found %",
             "raw finds %");
  for (const double truth : {0.0, 0.4}) {
    for (const double bias : {0.0, 0.5, 1.0, 2.0}) {
      const Tally sum = tally(bias, truth, runs);
      const double n = sum.runs;
      fmt::print(
          "{:>6.1f}{:>7.1f}{:>7.0f}{:>10.3f}{:>12.3f}{:>10.3f}{:>10.3f}"
          "{:>10.1f}{:>10.1f}{:>11.1f}\n",
          bias,
          truth,
          sum.pairs / n,
          sum.raw_bias / n,
          sum.uncorrected_bias / n,
          sum.bias / n,
          sum.adjusted_bias / n,
          100 * sum.covered / n,
          100 * sum.rejected / n,
          100 * sum.raw_rejected / n);
    }
  }
}

// Wall and processor time: the machine may have other work.
class Stopwatch {
 public:
  double wall_s() const {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() -
                                         start_)
        .count();
  }
  double processor_s() const { return used_s() - used_at_start_s_; }

 private:
  static double used_s() {
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    return static_cast<double>(usage.ru_utime.tv_sec) +
           1e-6 * static_cast<double>(usage.ru_utime.tv_usec);
  }
  std::chrono::steady_clock::time_point start_ =
      std::chrono::steady_clock::now();
  double used_at_start_s_ = used_s();
};

// Peak memory of this program so far.
double peak_MB() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_maxrss) / 1024;
}

Sample crowd(int feeds, double shift, bool measured, unsigned seed) {
  RandomEngine random = derived_engine(seed, "crowd");
  Sample sample;
  sample.characteristics = {"x", "y", "speed", "descent"};
  sample.values.resize(feeds, 4);
  sample.sigmas = Eigen::MatrixXd::Constant(feeds, 4, measured ? kMeasured : 0);
  for (int i = 0; i < feeds; ++i) {
    sample.feeds.push_back(i + 1);
    sample.order.push_back(i + 1);
    sample.rho_xy.push_back(0);
    sample.values.row(i) = feed_of(random, shift).transpose();
  }
  return sample;
}

// scipy's time on the same distances; empty when it is not there.
std::string scipy_words(const std::vector<Sample>& samples,
                        const FeedDistance& distance,
                        double ours_s) {
  const auto file =
      std::filesystem::temp_directory_path() / "evenfeed-distances.bin";
  std::ofstream out(file, std::ios::binary);
  for (int i = 0; i < samples[0].size(); ++i) {
    for (int j = 0; j < samples[1].size(); ++j) {
      const double d = distance.between(samples[0], i, samples[1], j);
      out.write(reinterpret_cast<const char*>(&d), sizeof d);
    }
  }
  out.close();
  const std::string command = fmt::format(
      "python3 -c 'import time, numpy, scipy.optimize\n"
      "d = numpy.fromfile(\"{}\").reshape({}, {})\n"
      "start = time.process_time()\n"
      "r, c = scipy.optimize.linear_sum_assignment(d)\n"
      "print(time.process_time() - start, repr(d[r, c].sum()))' 2>/dev/null",
      file.string(),
      samples[0].size(),
      samples[1].size());
  double theirs_s = 0;
  double total = 0;
  FILE* pipe = popen(command.c_str(), "r");
  const int read =
      pipe == nullptr ? 0 : std::fscanf(pipe, "%lf %lf", &theirs_s, &total);
  if (pipe != nullptr) pclose(pipe);
  std::filesystem::remove(file);
  if (read != 2) return "scipy is not installed";
  return fmt::format(
      "scipy {:.2f} s of processor, total {:.9f}; ours takes {:.2f} times as "
      "long",
      theirs_s,
      total,
      ours_s / theirs_s);
}

void print_speed(int feeds, double shift, bool calipers, bool measured) {
  const std::vector<Sample> samples{crowd(feeds, shift, measured, 1),
                                    crowd(feeds, 0, measured, 2)};
  CaliperOptions options;
  options.use = calipers;
  const FeedDistance distance(samples, options);
  const Stopwatch listing;
  const Candidates candidates = distance.candidates(samples[0], samples[1]);
  const double listing_s = listing.processor_s();
  const Stopwatch assigning;
  const Assignment got = assign(candidates);
  const double assigning_s = assigning.processor_s();
  fmt::print(
      "{} a side, shift {} sd, {}, {}: {} candidates in {:.2f} s of "
      "processor, {} pairs in {:.2f} s (both {:.2f} s by the clock), total "
      "{:.9f}, peak {:.0f} MB\n",
      feeds,
      shift,
      calipers ? "calipers 1 sd" : "no calipers",
      measured ? "own uncertainty of each" : "one covariance",
      candidates.cost.size(),
      listing_s,
      got.pairs,
      assigning_s,
      listing.wall_s(),
      got.cost,
      peak_MB());
  if (!calipers) {
    fmt::print("    {}\n", scipy_words(samples, distance, assigning_s));
  }
}

}  // namespace
}  // namespace evenfeed

int main(int argc, char** argv) {
  using namespace evenfeed;
  const int runs = argc > 1 ? std::atoi(argv[1]) : 2000;
  print_speed(2000, 0.3, true, true);
  print_speed(2000, 0, false, false);
  print_speed(2000, 0.7, false, false);
  print_speed(2000, 0.7, false, true);
  print_speed(5000, 0.3, true, true);
  print_speed(5000, 0.3, true, false);
  if (runs > 0) print_statistics(runs);
  return 0;
}
