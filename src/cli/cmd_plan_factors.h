// SPDX-License-Identifier: MIT
// evenfeed plan factors: which properties a set of samples can tell apart.
#pragma once

#include "cli/command.h"

#include <string>

namespace evenfeed {

class PlanFactorsCommand : public Command {
 public:
  std::string_view name() const override { return "factors"; }
  std::string_view summary() const override {
    return "Which properties of the samples can be told apart, and the rest";
  }
  std::string_view example() const override {
    return "evenfeed plan factors samples.csv";
  }
  void setup(Arguments& args) override;
  int run() override;

 private:
  std::string samples_;
  bool json_ = false;
  bool quiet_ = false;
};

}  // namespace evenfeed
