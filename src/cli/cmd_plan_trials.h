// SPDX-License-Identifier: MIT
// evenfeed plan trials: how many trials the next test takes.
#pragma once

#include "cli/command.h"
#include "plan/trial_count.h"

#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

class PlanTrialsCommand : public Command {
 public:
  std::string_view name() const override { return "trials"; }
  std::string_view summary() const override {
    return "Pairs and trials needed to find a difference";
  }
  std::string_view example() const override {
    return "evenfeed plan trials --sd 0.35 --difference 0.1,0.2,0.3 "
           "--paired-share 0.7";
  }
  void setup(Arguments& args) override;
  int run() override;

 private:
  /// What it is reckoned from.
  struct Basis {
    std::optional<Pilot> pilot;
    TestAim aim;
    double share = 0;  ///< of the feeds, that find a partner
  };
  /// What is to be found, and what that takes.
  struct Wanted {
    std::string what;  ///< "0.1", or "0.6, 0.8"
    TrialCount count;
  };
  Basis basis() const;
  std::vector<Wanted> wanted(const Basis& basis) const;
  /// `unpaired`: trials per sample without pairs; 0: not asked.
  std::string as_json(const Basis& basis,
                      const std::vector<Wanted>& rows,
                      double unpaired) const;
  std::string as_words(const Basis& basis,
                       const std::vector<Wanted>& rows,
                       double unpaired) const;

  std::string pilot_;
  std::string outcome_;
  double sd_ = 0;
  std::vector<double> differences_;
  std::vector<double> rates_;
  double correlation_ = 0;
  double paired_share_ = 0;
  double alpha_ = 0.05;
  double power_ = 0.80;
  bool json_ = false;
  bool quiet_ = false;
};

}  // namespace evenfeed
