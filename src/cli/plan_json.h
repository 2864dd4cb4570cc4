// SPDX-License-Identifier: MIT
// What the topics of plan find, as JSON; what is not known is null.
#pragma once

#include "charts/chart_plan.h"
#include "plan/camera_survey.h"
#include "plan/factors.h"
#include "plan/trial_order.h"

#include <string>
#include <string_view>
#include <vector>

namespace evenfeed {

[[nodiscard]] std::string order_json(const std::vector<PlannedTrial>& plan,
                                     int changes_of_sample,
                                     double mean_gap_feeds);

[[nodiscard]] std::string factors_json(const FactorReport& report);

[[nodiscard]] std::string charts_json(const ChartPlanOptions& options,
                                      const ChartPlan& plan);

/// "clear", "weak", "DEGENERATE" or "too few", as the table of places says it.
[[nodiscard]] std::string_view view_word(BounceView view);

[[nodiscard]] std::string survey_json(const CameraSurvey& survey);

}  // namespace evenfeed
