// SPDX-License-Identifier: MIT
// evenfeed calibrate VIDEO: from a film to its calibrated bench.
#pragma once

#include "cli/calibration_args.h"
#include "cli/command.h"
#include "cli/profile_lookup.h"
#include "cli/slow_arg.h"
#include "cli/usual_profile.h"

#include <filesystem>
#include <string>

namespace evenfeed {

class CalibrateCommand : public Command {
 public:
  std::string_view name() const override { return "calibrate"; }
  std::string_view task() const override { return "Step by step"; }
  std::string_view summary() const override {
    return "Find the table in a film and solve the camera over it";
  }
  std::string_view example() const override {
    return "evenfeed calibrate session.mp4 --out bench.toml "
           "--overlay bench.png";
  }
  void setup(Arguments& args) override;
  int run() override;

 private:
  int mark(const NamedText& profile_text) const;
  std::string command_for(const std::filesystem::path& marks) const;

  std::string film_;
  std::string profile_ = kUsualProfile;
  CalibrationArgs calibration_;
  SlowArg slow_;
  std::string out_ = "bench.toml";
  std::string overlay_;
  bool mark_ = false;
  bool json_ = false;
  bool quiet_ = false;
};

}  // namespace evenfeed
