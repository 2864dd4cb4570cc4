// SPDX-License-Identifier: MIT
// Invented samples: feeds that scatter about a mean, an outcome that depends
// on the feed and the sample.
#pragma once

#include "base/csv.h"
#include "pairing/comparison.h"

#include <algorithm>
#include <random>
#include <string>
#include <vector>

namespace evenfeed {

inline Sample invented_sample(const std::string& name,
                              int feeds,
                              double shift_sd,
                              unsigned seed) {
  std::mt19937 random(seed);
  std::normal_distribution<double> normal;
  Sample sample;
  sample.name = name;
  sample.characteristics = {"x_mm", "speed_in_mps"};
  sample.values.resize(feeds, 2);
  sample.sigmas = Eigen::MatrixXd::Zero(feeds, 2);
  for (int i = 0; i < feeds; ++i) {
    sample.feeds.push_back(i + 1);
    sample.rows.push_back(static_cast<std::size_t>(i));
    sample.order.push_back(i + 1);
    sample.rho_xy.push_back(0);
    const double length = normal(random);
    sample.values(i, 0) = 600 + 40 * (length + shift_sd);
    sample.values(i, 1) =
        5 + 0.08 * (0.6 * length + 0.8 * normal(random) + shift_sd);
  }
  sample.feeds_in_file = feeds;
  sample.judged = true;
  return sample;
}

/// slope * (x - 600 mm) + level + noise of the given sd.
inline Eigen::VectorXd invented_outcome(const Sample& sample,
                                        double slope,
                                        double level,
                                        double noise_sd,
                                        unsigned seed) {
  std::mt19937 random(seed);
  std::normal_distribution<double> noise(0, noise_sd);
  Eigen::VectorXd values(sample.size());
  for (int i = 0; i < sample.size(); ++i) {
    values(i) = slope * (sample.values(i, 0) - 600) + level + noise(random);
  }
  return values;
}

inline Outcome number_outcome(const std::string& name,
                              std::vector<Eigen::VectorXd> values) {
  Outcome outcome;
  outcome.name = name;
  for (const auto& one : values) {
    outcome.sigmas.push_back(Eigen::VectorXd::Zero(one.size()));
  }
  outcome.values = std::move(values);
  return outcome;
}

struct InventedTrial {
  std::vector<Sample> samples;
  Outcome outcome;
};

/// K is fed `shift_sd` standard deviations farther than M, and better by
/// `truth`.
inline InventedTrial invented_trial(unsigned seed,
                                    double shift_sd,
                                    double truth,
                                    double slope) {
  InventedTrial trial;
  trial.samples = {invented_sample("K", 60, shift_sd, seed),
                   invented_sample("M", 60, 0, seed + 1)};
  trial.outcome = number_outcome(
      "ret_speed_mps",
      {invented_outcome(trial.samples[0], slope, truth, 0.3, seed + 2),
       invented_outcome(trial.samples[1], slope, 0, 0.3, seed + 3)});
  return trial;
}

/// Whether a line holds the words.
inline bool has(const std::vector<std::string>& lines,
                const std::string& part) {
  return std::any_of(lines.begin(), lines.end(), [&](const auto& line) {
    return line.find(part) != std::string::npos;
  });
}

inline CsvTable csv(const std::string& text, const char* name = "a.csv") {
  return CsvTable::parse(text, name);
}

/// Feeds 1 to n with two numbers and what each row ends with.
inline std::string rows(int n, const std::string& ending) {
  std::string text;
  for (int i = 1; i <= n; ++i) {
    text += std::to_string(i) + "," + std::to_string(600 + 7 * (i * 37 % 11)) +
            "," + std::to_string(20 + i * 13 % 7) + ending + "\n";
  }
  return text;
}

}  // namespace evenfeed
