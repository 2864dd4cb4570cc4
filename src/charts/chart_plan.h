// SPDX-License-Identifier: MIT
// What charts of one in-control run length promise: their lines, and their
// run lengths under a shift of the mean or a growth of the spread. Mean and
// spread are taken as known.
//
// Terms of ISO 7870-1: centre line, warning limit, action limit, run length.
// The warning limit lies two thirds of the way from the centre line to the
// action limit (2 of 3 sigma in ISO 7870-2), in the unit of an sd.
#pragma once

#include <string>
#include <vector>

namespace evenfeed {

struct ChartPlanOptions {
  double run_length = 1000;  ///< feeds between false alarms, per chart
  double lambda = 0.1;       ///< weight of the newest feed in EWMA and MEWMA
  double cusum_k = 0.5;      ///< reference value, half the shift sought, in sd
  int characteristics = 4;   ///< of the joint charts
  /// Of the mean, in sd; in Mahalanobis distance for the joint charts.
  std::vector<double> shifts{0, 0.5, 1, 1.5, 2, 3};
  /// Of the spread: sd over the sd in control.
  std::vector<double> growths{1, 1.25, 1.5, 2, 3};
  void check() const;
};

struct PlannedChart {
  std::string name;
  std::string statistic;  ///< what is held against the limits
  double centre = 0;
  double warning = 0;
  double action = 0;
  std::vector<double> run_lengths;  ///< per shift or growth
};

struct ChartPlan {
  std::vector<PlannedChart> of_mean;
  std::vector<PlannedChart> of_spread;
};

/// Throws UsageError when no limit gives the run length.
ChartPlan plan_charts(const ChartPlanOptions& options);

}  // namespace evenfeed
