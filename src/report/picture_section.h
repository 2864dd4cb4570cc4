// SPDX-License-Identifier: MIT
// The feeds' pictures in the page: a list that needs no scripts, which marks of
// the map and rows of the table lead to; with scripts a picture comes up beside
// whatever of them is pointed at, tapped or focused.
#pragma once

#include "report/report_input.h"

#include <string>

namespace evenfeed {

/// The section; empty when there are no pictures.
std::string picture_section(const ReportInput& input);

/// The address in the page of a feed's picture, "#picture-12"; empty when it
/// has none.
std::string picture_address(const ReportInput& input, int feed);

}  // namespace evenfeed
