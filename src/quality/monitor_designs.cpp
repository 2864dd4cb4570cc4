// SPDX-License-Identifier: MIT
#include "quality/monitor_designs.h"

#include "charts/guaranteed_joint.h"
#include "charts/guaranteed_width.h"
#include "charts/heavy_tails.h"
#include "stats/covariance.h"

#include <cmath>

namespace evenfeed {
namespace {

double per_characteristic(const Baseline& baseline,
                          const ChartOptions& options) {
  return options.run_length *
         static_cast<double>(baseline.characteristics.size());
}

GuaranteedJoint joint(const Baseline& baseline, const ChartOptions& options) {
  return guaranteed_joint(static_cast<int>(baseline.joint.size()),
                          baseline.n,
                          options.lambda,
                          options.run_length,
                          options.guarantee);
}

}  // namespace

double tails_of(const Baseline& baseline, const ChartOptions& options) {
  return std::isnan(baseline.tails) ? options.tails : baseline.tails;
}

T2Chart make_t2(const Baseline& baseline, const ChartOptions& options) {
  // As a tail of the law of T2 on average, so that it can be asked for fewer
  // characteristics too.
  const int p = static_cast<int>(baseline.joint.size());
  const double tail =
      t2_tail_phase2(joint(baseline, options).t2, p, baseline.n);
  return T2Chart(subvector(baseline.mean, baseline.joint),
                 submatrix(baseline.covariance, baseline.joint),
                 baseline.n,
                 tail,
                 tails_of(baseline, options));
}

MewmaChart make_mewma(const Baseline& baseline, const ChartOptions& options) {
  MewmaDesign design;
  design.lambda = options.lambda;
  design.limit = joint(baseline, options).mewma;
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
  design.width = guaranteed_ewma_width(options.lambda,
                                       per_characteristic(baseline, options),
                                       baseline.n,
                                       options.guarantee);
  design.autocorrelation = baseline.lag1(j);
  return EwmaChart(baseline.mean(j), baseline.sd()(j), design);
}

IndividualsChart make_individuals(const Baseline& baseline,
                                  int j,
                                  const ChartOptions& options) {
  const double run_length = per_characteristic(baseline, options);
  const double wider = std::sqrt(
      heavy_tail_factor(1, tails_of(baseline, options), 1 / run_length));
  return IndividualsChart(individuals_limits(
      baseline.mean(j),
      baseline.sd()(j),
      wider * guaranteed_individuals_width(
                  run_length, baseline.n, options.guarantee),
      wider *
          guaranteed_range_limit(run_length, baseline.n, options.guarantee)));
}

EwmaChart make_spread(const Baseline& baseline, const ChartOptions& options) {
  EwmaDesign design;
  design.lambda = options.lambda;
  design.width = joint(baseline, options).spread;
  return EwmaChart(0, 1, design);
}

}  // namespace evenfeed
