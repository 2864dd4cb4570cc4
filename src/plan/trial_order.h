// SPDX-License-Identifier: MIT
// In which order to try the samples, so that drift does not look like a
// difference between them.
//
// Blocks are a random order of the samples followed by its mirror image (A B B
// A, or B A A B): whatever drifts in a straight line within a block cancels.
// Balls go round so that every sample meets every ball equally often. The
// test starts with feeds to warm up, and after every so many trials the
// launcher alone is fed again, to be compared with its start.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace evenfeed {

struct OrderOptions {
  std::vector<std::string> samples;
  int trials = 40;         ///< per sample, rounded up to whole blocks
  int turn = 10;           ///< feeds in a row on one sample before the next
  int warm_up = 30;        ///< feeds before the first trial
  int recheck = 5;         ///< launcher-only feeds at a time, 0: none
  int recheck_every = 40;  ///< trials between them
  int balls = 6;
  std::uint64_t seed = 1;
  void check() const;
};

enum class FeedPurpose { kWarmUp, kTrial, kRecheck };

struct PlannedTrial {
  int order = 0;  ///< 1, 2, ... over the whole test
  FeedPurpose purpose = FeedPurpose::kTrial;
  int block = 0;       ///< 0: none
  std::string sample;  ///< empty: none
  int ball = 0;        ///< 1, 2, ...
};

/// The same seed gives the same order.
std::vector<PlannedTrial> plan_order(const OrderOptions& options);

std::string purpose_name(FeedPurpose purpose);
/// order,purpose,block,sample,ball and empty columns feed, note to fill in.
std::string order_text(const std::vector<PlannedTrial>& plan);

}  // namespace evenfeed
