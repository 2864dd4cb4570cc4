// SPDX-License-Identifier: MIT
// The order of a test as a sheet to print and fill in at the bench.
#pragma once

#include "plan/trial_order.h"

#include <string>
#include <vector>

namespace evenfeed {

/// A page of rows with the cautions of the bench; everything is escaped.
std::string order_sheet(const OrderOptions& options,
                        const std::vector<PlannedTrial>& plan);

}  // namespace evenfeed
