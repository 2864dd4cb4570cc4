// SPDX-License-Identifier: MIT
#include "quality/monitor_designs.h"

#include "charts/ewma_run_length.h"
#include "charts/mewma_run_length.h"
#include "stats/covariance.h"
#include "stats/distributions.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace evenfeed {
namespace {

double per_characteristic(const Baseline& baseline,
                          const ChartOptions& options) {
  return options.run_length *
         static_cast<double>(baseline.characteristics.size());
}

double width_for_estimated(double width, int n) {
  return student_t_quantile(normal_cdf(width), n - 1);
}

}  // namespace

T2Chart make_t2(const Baseline& baseline, const ChartOptions& options) {
  return T2Chart(subvector(baseline.mean, baseline.joint),
                 submatrix(baseline.covariance, baseline.joint),
                 baseline.n,
                 1 / options.run_length);
}

MewmaChart make_mewma(const Baseline& baseline, const ChartOptions& options) {
  MewmaDesign design;
  design.lambda = options.lambda;
  design.limit = mewma_limit(static_cast<int>(baseline.joint.size()),
                             options.lambda,
                             options.run_length);
  design.baseline_n = baseline.n;
  design.autocorrelation = subvector(baseline.lag1, baseline.joint).maxCoeff();
  return MewmaChart(subvector(baseline.mean, baseline.joint),
                    submatrix(baseline.covariance, baseline.joint),
                    design);
}

EwmaChart make_ewma(const Baseline& baseline,
                    int j,
                    const ChartOptions& options) {
  EwmaDesign design;
  design.lambda = options.lambda;
  design.width =
      width_for_estimated(ewma_width(options.lambda,
                                     per_characteristic(baseline, options),
                                     EwmaLimits::kGrowing),
                          baseline.n);
  design.baseline_n = baseline.n;
  design.autocorrelation = baseline.lag1(j);
  return EwmaChart(baseline.mean(j), baseline.sd()(j), design);
}

IndividualsChart make_individuals(const Baseline& baseline,
                                  int j,
                                  const ChartOptions& options) {
  return IndividualsChart(
      individuals_limits(baseline.mean(j),
                         baseline.sd()(j),
                         baseline.n,
                         1 / per_characteristic(baseline, options)));
}

EwmaChart make_spread(const Baseline& baseline, const ChartOptions& options) {
  EwmaDesign design;
  design.lambda = options.lambda;
  // Half of the alarms of the two-sided chart fall on the side that is used.
  design.width =
      ewma_width(options.lambda, options.run_length / 2, EwmaLimits::kGrowing);
  design.baseline_n = baseline.n;
  return EwmaChart(0, 1, design);
}

double t2_score(const T2Point& point, int n) {
  if (!std::isfinite(point.value)) {
    return std::isnan(point.value) ? std::numeric_limits<double>::quiet_NaN()
                                   : 3;
  }
  const double p = point.p;
  const double scale = p * (n + 1.0) * (n - 1.0) / (n * (n - p));
  const double tail = f_tail(point.value / scale, p, n - p);
  return -normal_quantile(std::clamp(tail, 0.00135, 0.99865));
}

}  // namespace evenfeed
