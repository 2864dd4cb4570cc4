// SPDX-License-Identifier: MIT
#include "plan/trial_order.h"

#include "base/check.h"
#include "base/csv.h"
#include "base/error.h"
#include "base/random.h"

#include <algorithm>
#include <map>
#include <numeric>
#include <set>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// Not std::shuffle: its result is up to the library.
template <typename T>
void shuffle(std::vector<T>& items, RandomEngine& random) {
  for (std::size_t i = items.size(); i > 1; --i) {
    std::swap(items[i - 1], items[random() % i]);
  }
}

// Every sample meets the balls in rounds, each round in an order of its own.
class BallRotation {
 public:
  BallRotation(int balls, RandomEngine random)
      : balls_(balls), random_(random) {}

  int next(const std::string& sample) {
    std::vector<int>& waiting = waiting_[sample];
    if (waiting.empty()) {
      waiting.resize(static_cast<std::size_t>(balls_));
      std::iota(waiting.begin(), waiting.end(), 1);
      shuffle(waiting, random_);
    }
    const int ball = waiting.back();
    waiting.pop_back();
    return ball;
  }

 private:
  int balls_;
  RandomEngine random_;
  std::map<std::string, std::vector<int>> waiting_;
};

}  // namespace

void OrderOptions::check() const {
  require_in_range(static_cast<double>(samples.size()), 2, 50, "samples");
  if (std::set<std::string>(samples.begin(), samples.end()).size() !=
          samples.size() ||
      std::count(samples.begin(), samples.end(), "") > 0) {
    throw UsageError("samples: every sample needs a name of its own");
  }
  require_in_range(trials, 1, 100000, "trials");
  require_in_range(turn, 1, 1000, "turn");
  require_in_range(warm_up, 0, 10000, "warm_up");
  require_in_range(recheck, 0, 1000, "recheck");
  require_in_range(recheck_every, 1, 100000, "recheck_every");
  require_in_range(balls, 1, 1000, "balls");
}

std::vector<PlannedTrial> plan_order(const OrderOptions& options) {
  options.check();
  RandomEngine random = derived_engine(options.seed, "trial order");
  BallRotation rotation(options.balls, derived_engine(options.seed, "balls"));
  std::vector<PlannedTrial> plan;
  const auto add =
      [&](FeedPurpose purpose, int block, const std::string& sample) {
        plan.push_back({static_cast<int>(plan.size()) + 1,
                        purpose,
                        block,
                        sample,
                        rotation.next(sample)});
      };
  for (int i = 0; i < options.warm_up; ++i) add(FeedPurpose::kWarmUp, 0, "");
  const int per_block = 2 * options.turn;
  const int blocks = (options.trials + per_block - 1) / per_block;
  int since_check = 0;
  for (int block = 1; block <= blocks; ++block) {
    std::vector<std::string> half = options.samples;
    shuffle(half, random);
    std::vector<std::string> whole = half;
    whole.insert(whole.end(), half.rbegin(), half.rend());
    for (const std::string& sample : whole) {
      for (int i = 0; i < options.turn; ++i) {
        add(FeedPurpose::kTrial, block, sample);
        ++since_check;
      }
    }
    // Between blocks, so that a block is fed in one go; and at the end.
    if (since_check >= options.recheck_every || block == blocks) {
      for (int i = 0; i < options.recheck; ++i) {
        add(FeedPurpose::kRecheck, 0, "");
      }
      since_check = 0;
    }
  }
  return plan;
}

std::string purpose_name(FeedPurpose purpose) {
  switch (purpose) {
    case FeedPurpose::kWarmUp:
      return "warm-up";
    case FeedPurpose::kTrial:
      return "trial";
    case FeedPurpose::kRecheck:
      return "re-check";
  }
  return "";
}

std::string order_text(const std::vector<PlannedTrial>& plan) {
  CsvWriter out(
      {"order", "purpose", "block", "sample", "ball", "feed", "note"});
  for (const PlannedTrial& trial : plan) {
    out.add_row({fmt::format("{}", trial.order),
                 purpose_name(trial.purpose),
                 trial.block > 0 ? fmt::format("{}", trial.block) : "",
                 trial.sample,
                 fmt::format("{}", trial.ball),
                 "",
                 ""});
  }
  return out.text();
}

}  // namespace evenfeed
