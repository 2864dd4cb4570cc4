// SPDX-License-Identifier: MIT
#include "charts/chart_plan.h"

#include "base/check.h"
#include "charts/cusum_run_length.h"
#include "charts/ewma_run_length.h"
#include "charts/individuals_run_length.h"
#include "charts/mewma_run_length.h"
#include "charts/spread_ewma.h"
#include "charts/t2.h"

#include <cmath>
#include <functional>

namespace evenfeed {
namespace {

using RunLength = std::function<double(double)>;

std::vector<double> at_each(const std::vector<double>& changes,
                            const RunLength& run_length) {
  std::vector<double> lengths;
  lengths.reserve(changes.size());
  for (const double one : changes) lengths.push_back(run_length(one));
  return lengths;
}

// A chart whose limit grows with the deviation, and one with its square.
PlannedChart linear(const std::string& name,
                    const std::string& statistic,
                    double centre,
                    double action) {
  return {
      name, statistic, centre, centre + (action - centre) * 2 / 3, action, {}};
}
PlannedChart squared(const std::string& name,
                     const std::string& statistic,
                     double action) {
  return {name, statistic, 0, action * 4 / 9, action, {}};
}

void plan_single(const ChartPlanOptions& o, ChartPlan& plan) {
  PlannedChart one = linear("individuals",
                            "deviation of a value, sd",
                            0,
                            individuals_width(o.run_length));
  one.run_lengths = at_each(o.shifts, [&](double shift) {
    return individuals_run_length(one.action, shift);
  });
  plan.of_mean.push_back(one);

  const double width = individuals_and_range_width(o.run_length);
  one = linear("with range", "the same; range: 1.4142 x, sd", 0, width);
  one.run_lengths = at_each(o.shifts, [&](double shift) {
    return individuals_run_length(width, shift, std::sqrt(2.0) * width);
  });
  plan.of_mean.push_back(one);

  one = linear("EWMA",
               "deviation of the average, its sd",
               0,
               ewma_width(o.lambda, o.run_length, EwmaLimits::kGrowing));
  one.run_lengths = at_each(o.shifts, [&](double shift) {
    return ewma_run_length(o.lambda, one.action, shift, EwmaLimits::kGrowing);
  });
  plan.of_mean.push_back(one);

  one = linear("CUSUM", "sum, sd", 0, cusum_limit(o.cusum_k, o.run_length));
  one.run_lengths = at_each(o.shifts, [&](double shift) {
    return cusum_run_length({o.cusum_k, one.action, 0}, shift);
  });
  plan.of_mean.push_back(one);
}

void plan_joint(const ChartPlanOptions& o, ChartPlan& plan) {
  const int p = o.characteristics;
  PlannedChart one =
      squared("T2", "squared distance", t2_limit_known(p, 1 / o.run_length));
  one.run_lengths = at_each(o.shifts, [&](double shift) {
    return t2_run_length(p, one.action, shift);
  });
  plan.of_mean.push_back(one);

  one = squared("MEWMA",
                "squared distance of the average",
                mewma_limit(p, o.lambda, o.run_length));
  one.run_lengths = mewma_run_lengths(p, o.lambda, one.action, o.shifts);
  plan.of_mean.push_back(one);
}

void plan_spread(const ChartPlanOptions& o, ChartPlan& plan) {
  const auto add = [&](const std::string& name, int degrees) {
    const SpreadEwmaDesign design{
        o.lambda, spread_ewma_width(o.lambda, degrees, o.run_length), degrees};
    PlannedChart one =
        linear(name, "average variance, in-control 1", 1, design.limit());
    one.run_lengths = at_each(o.growths, [&](double growth) {
      return spread_ewma_run_length(design, growth);
    });
    plan.of_spread.push_back(one);
  };
  add("EWMA of one", 1);
  if (o.characteristics > 1) add("EWMA of all", o.characteristics);
}

}  // namespace

void ChartPlanOptions::check() const {
  require_in_range(run_length, 20, 1e5, "run_length");
  require_in_range(lambda, 0.02, 1, "lambda");
  require_in_range(cusum_k, 0.05, 3, "cusum_k");
  require_in_range(characteristics, 1, 20, "characteristics");
  for (const double shift : shifts) require_in_range(shift, 0, 10, "shift");
  for (const double one : growths) require_in_range(one, 0.1, 20, "growth");
}

ChartPlan plan_charts(const ChartPlanOptions& options) {
  options.check();
  ChartPlan plan;
  plan_single(options, plan);
  plan_joint(options, plan);
  plan_spread(options, plan);
  return plan;
}

}  // namespace evenfeed
