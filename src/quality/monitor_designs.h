// SPDX-License-Identifier: MIT
// The charts of phase II for a baseline, each with its share of the false
// alarms: the joint charts one in `run_length` feeds, and the charts of single
// characteristics one in `run_length` together. Limits are those that, with
// the probability `guarantee`, hold this run length for the very baseline that
// was found (charts/guaranteed_width.h, charts/guaranteed_joint.h).
#pragma once

#include "charts/ewma.h"
#include "charts/individuals.h"
#include "charts/mewma.h"
#include "charts/t2.h"
#include "quality/baseline.h"
#include "quality/options.h"

namespace evenfeed {

/// The baseline's tails, or those believed when it does not say.
double tails_of(const Baseline& baseline, const ChartOptions& options);
T2Chart make_t2(const Baseline& baseline, const ChartOptions& options);
MewmaChart make_mewma(const Baseline& baseline, const ChartOptions& options);
/// Characteristic j.
EwmaChart make_ewma(const Baseline& baseline,
                    int j,
                    const ChartOptions& options);
IndividualsChart make_individuals(const Baseline& baseline,
                                  int j,
                                  const ChartOptions& options);
/// For the normal scores of T2; only its upper line is used.
EwmaChart make_spread(const Baseline& baseline, const ChartOptions& options);

}  // namespace evenfeed
