// SPDX-License-Identifier: MIT
// evenfeed plan order: which sample to feed when.
#pragma once

#include "cli/command.h"
#include "plan/trial_order.h"

#include <string>

namespace evenfeed {

class PlanOrderCommand : public Command {
 public:
  std::string_view name() const override { return "order"; }
  std::string_view summary() const override {
    return "A seeded order of trials that drift cannot bend, as a sheet";
  }
  std::string_view example() const override {
    return "evenfeed plan order --samples K,M --trials 40 --seed 7 --out order";
  }
  void setup(Arguments& args) override;
  int run() override;

 private:
  OrderOptions options_;
  std::string out_;
  bool json_ = false;
  bool quiet_ = false;
};

}  // namespace evenfeed
