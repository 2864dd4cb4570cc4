// SPDX-License-Identifier: MIT
// evenfeed report DIR: the page of a session folder, made anew.
#pragma once

#include "cli/command.h"

#include <string>

namespace evenfeed {

class ReportCommand : public Command {
 public:
  std::string_view name() const override { return "report"; }
  std::string_view task() const override { return "From a film to a verdict"; }
  std::string_view summary() const override {
    return "Write report.html from what a session folder holds";
  }
  std::string_view example() const override {
    return "evenfeed report tuesday";
  }
  void setup(Arguments& args) override;
  int run() override;

 private:
  std::string folder_;
  std::string profile_ = "table-tennis";
  std::string out_;
  bool csv_ = false;
  bool json_ = false;
  bool quiet_ = false;
};

}  // namespace evenfeed
