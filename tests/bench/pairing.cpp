// SPDX-License-Identifier: MIT
// What matched pairs are worth, and how fast they are found.
//
//   pairing [RUNS [WORD]]   (default 2000 per line; 0: the speed only)
//
// With WORD only the lines that have it in their name, and no speed.
//
// Statistics: two invented samples whose feeds and outcomes differ by what a
// line says. Coverage of every interval that is printed (the matched estimate,
// that of all feeds), half the matched one's width, and how often no difference
// is called one. Without a word of other things: numbers, one film, measured to
// 0.1 sd, 1 sd calipers.
// Speed: 2,000 and 5,000 feeds a side, with the time of scipy's
// linear_sum_assignment on the same distances where python3 has it.
#include "base/random.h"
#include "bench/pairing_lines.h"
#include "pairing/comparison.h"

#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <random>
#include <string>
#include <string_view>
#include <vector>

#include <fmt/format.h>
#include <sys/resource.h>

namespace evenfeed {
namespace {

// Of the outcome's variance at a steady feed, so much comes with the feed.
constexpr double kExplained = 0.6;

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

struct Trial {
  std::vector<Sample> samples;
  Outcome outcome;
  double truth = 0;  // at the same feed
};

double logistic(double x) { return 1 / (1 + std::exp(-x)); }

class Inventor {
 public:
  Inventor(const Line& line, int run)
      : line_(line),
        random_(derived_engine(static_cast<std::uint64_t>(run),
                               fmt::format("pairing {}", line.name))),
        together_(line.together * normal_(random_)) {}

  Trial trial() {
    Trial trial;
    trial.truth = line_.truth;
    trial.outcome.name = "outcome";
    if (line_.yes > 0) trial.outcome.kind = OutcomeKind::kYesNo;
    for (int s = 0; s < 2; ++s) add_sample(trial, s);
    return trial;
  }

 private:
  void add_sample(Trial& trial, int s) {
    const int feeds = s == 0 ? line_.feeds_a : line_.feeds_b;
    Sample sample;
    sample.name = s == 0 ? "A" : "B";
    sample.characteristics = {"x", "y", "speed", "descent"};
    sample.values.resize(feeds, 4);
    sample.sigmas = Eigen::MatrixXd::Constant(feeds, 4, line_.measured);
    const Eigen::Vector4d film_sd =
        line_.films * Eigen::Vector4d(0.2, 0.2, 1, 0.2);
    Eigen::Vector4d film;
    for (int k = 0; k < 4; ++k) film(k) = film_sd(k) * normal_(random_);
    const Eigen::Vector4d alike =
        (s == 0 ? 1 : 0.95) * Eigen::Vector4d(0.5, 0, 1, -0.5);
    film += alike * together_;
    const double film_outcome = line_.outcome_films * normal_(random_);
    Eigen::VectorXd values(feeds);
    for (int i = 0; i < feeds; ++i) {
      sample.feeds.push_back(s * line_.feeds_a + i + 1);
      sample.order.push_back(s * line_.feeds_a + i + 1);
      sample.rho_xy.push_back(0);
      const double time = s + (i + 0.5) / feeds - 0.5;
      const double shift = line_.shift * (line_.drift ? time : s);
      const Eigen::Vector4d feed = feed_of(random_, shift);
      values(i) = outcome_of(feed, s) + film_outcome;
      for (int k = 0; k < 4; ++k) {
        sample.values(i, k) =
            feed(k) + film(k) + line_.measured * normal_(random_);
      }
    }
    if (line_.films > 0) {
      for (int k = 0; k < 4; ++k) {
        sample.shared
            .sigma[sample.characteristics[static_cast<std::size_t>(k)]] =
            film_sd(k);
      }
      if (line_.films > 0.5) sample.not_matched = {"speed"};
    }
    if (line_.together > 0) tell_causes(sample, film_sd, alike, s);
    trial.samples.push_back(std::move(sample));
    trial.outcome.values.push_back(values);
    trial.outcome.sigmas.push_back(Eigen::VectorXd::Zero(feeds));
    trial.outcome.shared.push_back(line_.outcome_films);
  }

  void tell_causes(Sample& sample,
                   const Eigen::Vector4d& film_sd,
                   const Eigen::Vector4d& alike,
                   int s) const {
    SharedCause drag;
    drag.name = "drag";
    for (int k = 0; k < 4; ++k) {
      const std::string& name =
          sample.characteristics[static_cast<std::size_t>(k)];
      sample.shared.causes.push_back({.name = name,
                                      .of = fmt::format("film {}", s),
                                      .moves{{name, film_sd(k)}}});
      drag.moves[name] = line_.together * alike(k);
    }
    sample.shared.causes.push_back(std::move(drag));
  }

  double outcome_of(const Eigen::Vector4d& feed, int s) {
    const double part = made_of_feed(feed);
    const double truth = s == 0 ? line_.truth : 0;
    if (line_.yes > 0) {
      const double level = std::log(line_.yes / (1 - line_.yes));
      const double yes = logistic(level + line_.follows * part) + truth;
      return uniform_(random_) < yes ? 1 : 0;
    }
    double noise = normal_(random_);
    if (line_.heavy > 0) {
      std::student_t_distribution<double> t(line_.heavy);
      noise = t(random_) / std::sqrt(line_.heavy / (line_.heavy - 2));
    }
    return std::sqrt(kExplained) * (part + line_.curved * part * part) +
           std::sqrt(1 - kExplained) * noise * (s == 1 ? line_.scatter : 1) +
           truth;
  }

  const Line& line_;
  RandomEngine random_;
  std::normal_distribution<double> normal_;
  double together_;
  std::uniform_real_distribution<double> uniform_;
};

struct Tally {
  double raw_bias = 0;
  double bias = 0;
  double half_width = 0;
  double pairs = 0;
  int covered = 0;
  int covered_all = 0;
  int rejected = 0;
  int exact = 0;
  int runs = 0;
};

Tally tally(const Line& line, int runs) {
  Tally sum;
  for (int run = 0; run < runs; ++run) {
    const Trial trial = Inventor(line, run).trial();
    CaliperOptions calipers;
    calipers.default_sd = line.calipers;
    const FeedDistance distance(trial.samples, calipers);
    const Matching matching = match(trial.samples, distance);
    const Effect effect = estimate_effect(
        trial.samples, matching, distance, trial.outcome, 0, 1, {});
    if (!effect.matched.ok) continue;
    ++sum.runs;
    const Interval& interval = effect.matched.interval;
    sum.raw_bias += effect.raw - trial.truth;
    sum.bias += effect.matched.value - trial.truth;
    sum.half_width += (interval.high - interval.low) / 2;
    sum.pairs += effect.sets;
    sum.covered += interval.contains(trial.truth);
    sum.covered_all += effect.all_feeds.interval.contains(trial.truth);
    sum.rejected += effect.matched.p <= 0.05;
    sum.exact += effect.exact;
  }
  return sum;
}

void print_statistics(int runs, const std::string& word) {
  fmt::print(
      "{} runs a "
      "line\n\n{:<36}{:>7}{:>10}{:>10}{:>10}{:>10}{:>10}{:>10}{:>9}\n",
      runs,
      "",
      "pairs",
      "raw bias",
      "bias",
      "half",
      "covers %",
      "all f. %",
      "p<.05 %",
      "exact %");
  for (const Line& line : lines()) {
    if (std::string_view(line.name).find(word) == std::string_view::npos) {
      continue;
    }
    const Tally sum = tally(line, runs);
    const double n = sum.runs;
    fmt::print(
        "{:<36}{:>7.0f}{:>10.3f}{:>10.3f}{:>10.3f}{:>10.1f}{:>10.1f}{:>10.1f}"
        "{:>9.0f}\n",
        line.name,
        sum.pairs / n,
        sum.raw_bias / n,
        sum.bias / n,
        sum.half_width / n,
        100 * sum.covered / n,
        100 * sum.covered_all / n,
        100 * sum.rejected / n,
        100 * sum.exact / n);
    std::fflush(stdout);
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
  const std::string word = argc > 2 ? argv[2] : "";
  if (word.empty()) {
    print_speed(2000, 0.3, true, true);
    print_speed(2000, 0, false, false);
    print_speed(2000, 0.7, false, false);
    print_speed(2000, 0.7, false, true);
    print_speed(5000, 0.3, true, true);
    print_speed(5000, 0.3, true, false);
  }
  if (runs > 0) print_statistics(runs, word);
  return 0;
}
