// SPDX-License-Identifier: MIT
// A comparison in words.
#pragma once

#include "pairing/comparison.h"

#include <string>
#include <vector>

namespace evenfeed {

/// One pair of feeds of the first two samples, as numbered in their files.
struct PairRow {
  int a_feed = 0;
  int b_feed = 0;
  double distance = 0;
};
std::vector<PairRow> pair_rows(const Comparison& comparison);

/// One sentence that can be quoted, with its uncertainty.
std::string effect_sentence(const Comparison& comparison, const Effect& effect);
/// What the feed explained, what could have been seen.
std::vector<std::string> effect_details(const Comparison& comparison,
                                        const Effect& effect);
/// What was the same: "With the same feed" only when landing point and speed
/// are among what was matched and nothing was left unmatched.
std::string same_words(const Comparison& comparison, const Effect& effect);
/// "41 pairs matched on x_mm and y_mm, out of 52 of K, 50 of M usable feeds."
std::string matching_sentence(const Comparison& comparison);
/// Why a feed found no partner.
std::string left_out_reason(const Comparison& comparison, const LeftOut& left);

/// "0.42 m/s", "23 percentage points" for yes/no.
std::string difference_words(const Effect& effect, double difference);
/// How far from 0 a difference may be that the test does not exclude.
std::string possible_words(const Effect& effect);
/// "K, L and M"
std::string joined(const std::vector<std::string>& words);
/// "p = 0.012", "p < 0.0001"
std::string p_words(double p);

}  // namespace evenfeed
