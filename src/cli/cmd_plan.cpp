// SPDX-License-Identifier: MIT
#include "cli/cmd_plan.h"

#include "cli/cmd_plan_camera.h"
#include "cli/cmd_plan_charts.h"
#include "cli/cmd_plan_factors.h"
#include "cli/cmd_plan_order.h"
#include "cli/cmd_plan_trials.h"

namespace evenfeed {

std::vector<std::unique_ptr<Command>> plan_topics() {
  std::vector<std::unique_ptr<Command>> topics;
  topics.push_back(std::make_unique<PlanTrialsCommand>());
  topics.push_back(std::make_unique<PlanOrderCommand>());
  topics.push_back(std::make_unique<PlanFactorsCommand>());
  topics.push_back(std::make_unique<PlanCameraCommand>());
  topics.push_back(std::make_unique<PlanChartsCommand>());
  return topics;
}

void PlanCommand::setup(Arguments& args) {
  args.require_command();
  declared_.clear();
  for (const auto& topic : topics_) {
    Arguments sub = args.add_command(topic->name(), topic->summary());
    sub.examples({std::string(topic->example())});
    topic->setup(sub);
    declared_.emplace_back(topic.get(), sub);
  }
}

int PlanCommand::run() {
  for (const auto& [topic, args] : declared_) {
    if (args.given()) return topic->run();
  }
  return kExitWrongUse;
}

}  // namespace evenfeed
