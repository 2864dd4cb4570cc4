// SPDX-License-Identifier: MIT
// evenfeed simulate: a bench film with its truth, or weeks of sessions
// without films.
#pragma once

#include "cli/command.h"

#include <cstdint>
#include <string>

namespace evenfeed {

class SimulateCommand : public Command {
 public:
  std::string_view name() const override { return "simulate"; }
  std::string_view task() const override { return "To try it on"; }
  std::string_view summary() const override {
    return "Render a bench film from a scene, with the truth beside it";
  }
  std::string_view example() const override {
    return "evenfeed simulate --scene overhead720p60 --seed 1 --out film";
  }
  void setup(Arguments& args) override;
  int run() override;

 private:
  int run_weeks() const;
  std::string scene_ = "overhead720p60";
  std::uint64_t seed_ = 1;
  std::string out_;
  std::string weeks_;
  std::string db_;
  bool json_ = false;
  bool quiet_ = false;
};

}  // namespace evenfeed
