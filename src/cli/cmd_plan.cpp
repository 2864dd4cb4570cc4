// SPDX-License-Identifier: MIT
#include "cli/cmd_plan.h"

#include "cli/cmd_plan_camera.h"
#include "cli/cmd_plan_charts.h"
#include "cli/cmd_plan_factors.h"
#include "cli/cmd_plan_order.h"
#include "cli/cmd_plan_trials.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

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

void PlanCommand::setup(CLI::App& app) {
  app.require_subcommand(1);
  declared_.clear();
  for (const auto& topic : topics_) {
    CLI::App* sub = app.add_subcommand(std::string(topic->name()),
                                       std::string(topic->summary()));
    sub->footer(fmt::format("Example:\n  {}", topic->example()));
    topic->setup(*sub);
    declared_.emplace_back(topic.get(), sub);
  }
}

int PlanCommand::run() {
  for (const auto& [topic, app] : declared_) {
    if (app->parsed()) return topic->run();
  }
  return kExitWrongUse;
}

}  // namespace evenfeed
