// SPDX-License-Identifier: MIT
// The table of feeds: one row each, nothing left out.
#pragma once

#include "report/report_input.h"

#include <string>

namespace evenfeed {

/// A <table> with a row per feed: verdict, phase, the characteristics anybody
/// measured with their standard uncertainties, and the reasons in words.
std::string feed_table(const ReportInput& input);

/// A <table> of the gauge ratios; empty text when there are none.
std::string gauge_table(const ReportInput& input);

}  // namespace evenfeed
