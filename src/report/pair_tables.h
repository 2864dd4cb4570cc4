// SPDX-License-Identifier: MIT
// The tables of pair.html.
#pragma once

#include <string>

#include "pairing/comparison.h"

namespace evenfeed {

std::string effect_table(const Comparison& comparison);
std::string balance_table(const Comparison& comparison);
/// The feeds without a partner and what kept them from one; empty when every
/// feed found one.
std::string left_out_section(const Comparison& comparison);

}  // namespace evenfeed
