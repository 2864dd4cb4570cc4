// SPDX-License-Identifier: MIT
// Feeds judged as they come, by the Qualifier that judges files. A feed that
// comes is one more row; when earlier rows change, all are judged anew, by the
// same way from rows to columns that a file of them takes.
#pragma once

#include "flight/feed.h"
#include "quality/baseline.h"
#include "quality/qualification.h"
#include "quality/qualifier.h"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

struct JudgeOptions {
  QualityOptions quality;
  std::optional<Baseline> given;
  void check() const;
};

class Judge {
 public:
  explicit Judge(JudgeOptions options);

  /// All anew. Rows that a file would refuse to judge (nothing known of half of
  /// them) leave it at `feeds` without a verdict.
  void restart(const std::vector<Feed>& feeds);
  /// One more, with a number above the last one's.
  void add(const Feed& feed);
  const Qualification& result() const { return result_; }

 private:
  void begin(std::vector<std::string> characteristics);

  JudgeOptions options_;
  std::vector<std::string> characteristics_;
  std::shared_ptr<Qualifier> qualifier_;
  Qualification result_;
};

/// The row of a trial that a feed is, for these columns.
[[nodiscard]] TrialRow trial_row_of(const Feed& feed,
                                    const std::vector<std::string>& columns);

}  // namespace evenfeed
