// SPDX-License-Identifier: MIT
// The feeds of one sample that may be compared: those the launcher's verdict
// lets through, with every characteristic they are matched on or held equal in.
#pragma once

#include "base/csv.h"
#include "session/shared_uncertainty.h"

#include <set>
#include <string>
#include <vector>

#include <Eigen/Core>

namespace evenfeed {

struct Sample {
  std::string name;
  std::vector<std::string> characteristics;  ///< column names
  /// Which of them feeds are not matched on, because the films do not agree on
  /// them: a difference in them is estimated, not kept out.
  std::set<std::string> not_matched;
  std::vector<int> feeds;         ///< their numbers
  std::vector<std::size_t> rows;  ///< their rows in the file
  std::vector<double> order;      ///< place in the test, increasing
  Eigen::MatrixXd values;         ///< a row per feed, all known
  Eigen::MatrixXd sigmas;         ///< 0: not given
  std::vector<double> rho_xy;     ///< of landing point; 0: unknown
  SharedUncertainty shared;  ///< of its film, which is not that of the others
  int feeds_in_file = 0;
  int not_kept = 0;      ///< review, discard, warm-up, unmeasured
  int not_known = 0;     ///< kept, but a characteristic is missing
  bool judged = false;   ///< the file had verdicts
  bool ordered = false;  ///< the file had a column `order`

  int size() const { return static_cast<int>(feeds.size()); }
  double shared_in(const std::string& column) const {
    return shared.in(column);
  }
  bool matched_on(std::size_t characteristic) const {
    return !not_matched.contains(characteristics[characteristic]);
  }
};

struct SampleRules {
  bool include_review = false;
  /// A characteristic missing for a larger share of the kept feeds is left
  /// aside; feeds that lack one that is not are left out.
  double most_missing = 0.1;
  /// Unless it was asked for by name, feeds are not matched on one in which the
  /// films may be apart by more than this share of the feeds' own spread: feeds
  /// that look alike in it are not. Half of it moves a pair as little as a
  /// caliper of half a spread would (common practice, no source).
  double most_shared = 0.5;
  /// The tables are parts of files, split by an order sheet: feed numbers
  /// without a row are another sample's.
  bool split = false;
  void check() const;
};

struct Samples {
  std::vector<Sample> all;
  std::vector<std::string> characteristics;  ///< the same for all of them
  std::set<std::string> not_matched;         ///< likewise
  std::vector<std::string> warnings;
};

/// Reads two or more tagged (or plain) feeds files. `wanted` names the columns
/// to match on; those of `must` only are required. A column `order` (place in
/// the whole test, across the files) is used where every file has it.
/// `shared`: Sample::shared of each, or nothing.
/// Throws InputError: no feeds left in a file, no common characteristic.
Samples read_samples(const std::vector<CsvTable>& tables,
                     const std::vector<std::string>& names,
                     const std::vector<std::string>& wanted,
                     bool must_have_all,
                     const SampleRules& rules,
                     const std::vector<SharedUncertainty>& shared = {});

}  // namespace evenfeed
