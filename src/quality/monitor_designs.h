// SPDX-License-Identifier: MIT
// The charts of phase II for a baseline, each with its share of the false
// alarms: the joint charts one in `run_length` feeds, and the charts of single
// characteristics one in `run_length` together.
#pragma once

#include "charts/ewma.h"
#include "charts/individuals.h"
#include "charts/mewma.h"
#include "charts/t2.h"
#include "quality/baseline.h"
#include "quality/options.h"

namespace evenfeed {

T2Chart make_t2(const Baseline& baseline, const ChartOptions& options);
MewmaChart make_mewma(const Baseline& baseline, const ChartOptions& options);
/// Characteristic j. The width of known sigma is replaced by the point of the
/// t distribution that is as rare.
EwmaChart make_ewma(const Baseline& baseline,
                    int j,
                    const ChartOptions& options);
IndividualsChart make_individuals(const Baseline& baseline,
                                  int j,
                                  const ChartOptions& options);
/// For the normal scores of T2; only its upper line is used.
EwmaChart make_spread(const Baseline& baseline, const ChartOptions& options);

/// T2 of phase II as a standard normal score (large T2, large score), cut off
/// at +-3. NaN for a point without a value.
double t2_score(const T2Point& point, int n);

}  // namespace evenfeed
