// SPDX-License-Identifier: MIT
// The filled-in sheet of `plan order`: which feed was whose, and when.
// Columns: order, sample, and perhaps feed (empty: the feed has the number of
// its order). Rows without a sample are warm-up and re-checks.
#pragma once

#include "base/csv.h"

#include <string>
#include <vector>

namespace evenfeed {

/// Every name once, sorted.
std::vector<std::string> samples_in_order(const CsvTable& sheet);

/// How many rows of the order sheet are trials of the sample.
[[nodiscard]] int planned_trials(const CsvTable& sheet,
                                 const std::string& sample);

/// The rows of `feeds` that were fed to `sample`, with a column `order`.
/// Throws InputError: the sheet has no such sample, a feed stands twice, or
/// `feeds` has none of them.
CsvTable feeds_of_sample(const CsvTable& feeds,
                         const CsvTable& sheet,
                         const std::string& sample);

/// For one feeds file that holds all samples: throws InputError naming both
/// rows when the sheet gives a feed to two samples (an `order` that counts each
/// sample by itself, or a slip), since it would be compared with itself.
void require_one_sample_a_feed(const CsvTable& sheet);

/// One feeds file that says itself what each feed was fed to (column sample, as
/// 'live' writes it): the names in it, sorted. Throws InputError when there are
/// fewer than two.
std::vector<std::string> samples_told_in(const CsvTable& feeds);

/// The rows of `feeds` whose column sample is `sample`, in the file's order,
/// with a column `order` that is the feed's number. Throws InputError when it
/// has none.
CsvTable feeds_told_of(const CsvTable& feeds, const std::string& sample);

}  // namespace evenfeed
