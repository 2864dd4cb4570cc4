// SPDX-License-Identifier: MIT
// The tables of pair.html.
#pragma once

#include "pairing/comparison.h"

#include <string>

namespace evenfeed {

std::string effect_table(const Comparison& comparison);
std::string balance_table(const Comparison& comparison);
/// The feeds without a partner and what kept them from one; empty when every
/// feed found one.
/// Every set with its feeds and what each gave, the closest ones first.
std::string pairs_section(const Comparison& comparison);

std::string left_out_section(const Comparison& comparison);

}  // namespace evenfeed
