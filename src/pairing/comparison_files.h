// SPDX-License-Identifier: MIT
// What a comparison leaves behind for programs.
#pragma once

#include "pairing/comparison.h"

#include <string>

namespace evenfeed {

/// pairs.csv. Two samples: a_feed,b_feed,distance, a row per pair; more: set
/// and a column per sample.
std::string pairs_text(const Comparison& comparison);
/// left_out.csv: the feeds that found no partner, the nearest one, and why.
std::string left_out_text(const Comparison& comparison);
/// balance.csv: a row per two samples and characteristic.
std::string balance_text(const Comparison& comparison);
/// effect.json
std::string effect_text(const Comparison& comparison);

}  // namespace evenfeed
