// SPDX-License-Identifier: MIT
// evenfeed plan charts: the limits that give a wanted in-control run length,
// and how soon each chart finds a shift.
#pragma once

#include "cli/command.h"

#include <string>
#include <vector>

namespace evenfeed {

class PlanChartsCommand : public Command {
 public:
  std::string_view name() const override { return "charts"; }
  std::string_view summary() const override {
    return "Chart limits for a run length, and feeds until a shift is found";
  }
  std::string_view example() const override {
    return "evenfeed plan charts --run-length 1000 --characteristics 4 "
           "--lambda 0.1";
  }
  void setup(Arguments& args) override;
  int run() override;

 private:
  double run_length_ = 1000;
  double lambda_ = 0.1;
  int characteristics_ = 4;
  std::vector<double> shifts_{0, 0.5, 1, 1.5, 2, 3};
  std::vector<double> growths_{1, 1.25, 1.5, 2, 3};
  double cusum_k_ = 0.5;
  std::string out_;
  bool json_ = false;
  bool quiet_ = false;
};

}  // namespace evenfeed
