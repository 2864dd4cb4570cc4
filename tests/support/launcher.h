// SPDX-License-Identifier: MIT
// A launcher made of random numbers: four characteristics of which length and
// descent nearly are one thing, and whatever is wrong with it.
#pragma once

#include "base/random.h"
#include "quality/qualifier.h"

#include <cmath>
#include <cstdint>
#include <numbers>
#include <random>
#include <vector>

#include <Eigen/Cholesky>

namespace evenfeed {

struct LauncherFault {
  double amplitude = 0;    ///< of settling, in sd of x_mm
  double tau = 10;         ///< feeds
  double drift = 0;        ///< sd of x_mm per feed
  double memory = 0;       ///< lag-1 autocorrelation
  double misfeeds = 0;     ///< share
  double step = 0;         ///< sd of x_mm, from feed 41
  int step_feeds = 0;      ///< how many feeds the step lasts; 0: for good
  double growth = 1;       ///< of the spread, from feed 41
  double tails = 0;        ///< degrees of freedom of t; 0: normal
  double swing = 0;        ///< amplitude of a sine, in sd of x_mm
  double period = 40;      ///< of it, in feeds
  double phase = 0;        ///< of it at the first feed, in turns
  double alternate = 0;    ///< every second feed lands so many sd further
  double shrink = 1;       ///< spread of the first feed over the last ones'
  double shrink_tau = 40;  ///< feeds
  double rounding = 0;     ///< steps of every value, in its sd
  double missing = 0;      ///< share of single values that are not known
};

struct SimulatedTrial {
  TrialTable table;
  std::vector<bool> misfeed;
};

/// Where the mean of x_mm is, in sd, before feed i + 1.
inline double mean_shift(const LauncherFault& fault, int i) {
  const double turns = i / fault.period + fault.phase;
  return fault.amplitude * std::exp(-i / fault.tau) + fault.drift * i +
         fault.swing * std::sin(2 * std::numbers::pi * turns) +
         (i >= 40 && (fault.step_feeds == 0 || i < 40 + fault.step_feeds)
              ? fault.step
              : 0);
}

/// How much wider than at last the spread is at feed i + 1.
inline double spread_factor(const LauncherFault& fault, int i) {
  return (1 + (fault.shrink - 1) * std::exp(-i / fault.shrink_tau)) *
         (i >= 40 ? fault.growth : 1);
}

inline SimulatedTrial simulate_trial(const LauncherFault& fault,
                                     int feeds,
                                     std::uint64_t index) {
  Eigen::Matrix4d correlation;
  correlation << 1, 0, .3, -.9, 0, 1, 0, 0, .3, 0, 1, -.2, -.9, 0, -.2, 1;
  const Eigen::Matrix4d root = correlation.llt().matrixL();
  const Eigen::Vector4d mean(700, 20, 6.5, 21);
  const Eigen::Vector4d sd(35, 18, 0.06, 0.8);
  RandomEngine engine = derived_engine(121, "launcher", index);
  std::normal_distribution<double> normal;
  std::uniform_real_distribution<double> uniform;
  SimulatedTrial trial;
  trial.table.characteristics = default_characteristics();
  trial.table.values.resize(feeds, 4);
  trial.table.sigmas = Eigen::MatrixXd::Constant(feeds, 4, std::nan(""));
  trial.table.unmeasured.assign(static_cast<std::size_t>(feeds), "");
  Eigen::Vector4d before = Eigen::Vector4d::Zero();
  for (int i = 0; i < feeds; ++i) {
    Eigen::Vector4d z;
    for (double& value : z) value = normal(engine);
    if (fault.tails > 0) {  // of sd 1: one scale for all characteristics
      std::chi_squared_distribution<double> chi(fault.tails);
      z *= std::sqrt((fault.tails - 2) / chi(engine));
    }
    z = fault.memory * before +
        std::sqrt(1 - fault.memory * fault.memory) * (root * z);
    before = z;
    z *= spread_factor(fault, i);
    z += mean_shift(fault, i) * correlation.col(0);
    if (i % 2 == 1) z += fault.alternate * correlation.col(0);
    const bool bad = uniform(engine) < fault.misfeeds;
    if (bad)
      z(0) += (uniform(engine) < 0.5 ? -1 : 1) * (8 + 4 * uniform(engine));
    trial.misfeed.push_back(bad);
    trial.table.feeds.push_back(i + 1);
    if (fault.rounding > 0) {
      z = (z / fault.rounding).array().round().matrix() * fault.rounding;
    }
    trial.table.values.row(i) = (mean + sd.cwiseProduct(z)).transpose();
    for (int j = 0; fault.missing > 0 && j < 4; ++j) {
      if (uniform(engine) < fault.missing) {
        trial.table.values(i, j) = std::nan("");
      }
    }
  }
  return trial;
}

}  // namespace evenfeed
