// SPDX-License-Identifier: MIT
// evenfeed plan TOPIC: what to think of before feeding. Each topic is a
// Command of its own in cmd_plan_<topic>.{h,cpp}; plan_topics() is the one
// list of them.
#pragma once

#include "cli/command.h"

#include <utility>
#include <vector>

namespace evenfeed {

/// A fresh instance of every topic, in the order of the help. Each declares
/// --quiet, and its example begins with "evenfeed plan <name> ".
std::vector<std::unique_ptr<Command>> plan_topics();

class PlanCommand : public Command {
 public:
  PlanCommand() : topics_(plan_topics()) {}
  std::string_view name() const override { return "plan"; }
  std::string_view task() const override { return "Compare samples"; }
  std::string_view summary() const override {
    return "Plan a comparison before the first feed; see its topics";
  }
  std::string_view example() const override { return topics_[0]->example(); }
  void setup(Arguments& args) override;
  int run() override;

 private:
  std::vector<std::unique_ptr<Command>> topics_;
  std::vector<std::pair<Command*, Arguments>> declared_;
};

}  // namespace evenfeed
