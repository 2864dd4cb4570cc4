// SPDX-License-Identifier: MIT
#include "cli/registry.h"

#include "base/version.h"
#include "cli/cmd_calibrate.h"
#include "cli/cmd_clip.h"
#include "cli/cmd_doctor.h"
#include "cli/cmd_live.h"
#include "cli/cmd_measure.h"
#include "cli/cmd_overlay.h"
#include "cli/cmd_pair.h"
#include "cli/cmd_plan.h"
#include "cli/cmd_qualify.h"
#include "cli/cmd_report.h"
#include "cli/cmd_session.h"
#include "cli/cmd_simulate.h"
#include "cli/cmd_store.h"
#include "cli/cmd_wear.h"
#include "cli/command.h"

namespace evenfeed {

std::vector<std::unique_ptr<Command>> all_commands() {
  std::vector<std::unique_ptr<Command>> commands;
  commands.push_back(std::make_unique<SessionCommand>());
  commands.push_back(std::make_unique<ReportCommand>());
  commands.push_back(std::make_unique<ClipCommand>());
  commands.push_back(std::make_unique<LiveCommand>());
  commands.push_back(std::make_unique<DoctorCommand>());
  commands.push_back(std::make_unique<PlanCommand>());
  commands.push_back(std::make_unique<PairCommand>());
  commands.push_back(std::make_unique<OverlayCommand>());
  commands.push_back(std::make_unique<StoreCommand>());
  commands.push_back(std::make_unique<WearCommand>());
  commands.push_back(std::make_unique<CalibrateCommand>());
  commands.push_back(std::make_unique<MeasureCommand>());
  commands.push_back(std::make_unique<QualifyCommand>());
  commands.push_back(std::make_unique<SimulateCommand>());
  return commands;
}

Arguments the_program(const std::vector<std::unique_ptr<Command>>& commands) {
  Arguments program(
      "Measures what a ball launcher feeds, and says whether it "
      "is even enough to compare rubbers with",
      "evenfeed");
  program.require_command();
  program.add_version("evenfeed " + std::string(program_version()));
  for (const auto& command : commands) {
    Arguments args = program.add_command(command->name(), command->summary());
    args.examples({std::string(command->example())});
    command->setup(args);
  }
  return program;
}

}  // namespace evenfeed
