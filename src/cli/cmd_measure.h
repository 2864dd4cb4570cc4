// SPDX-License-Identifier: MIT
// evenfeed measure: a film and its bench to feeds.csv.
#pragma once

#include "cli/command.h"
#include "cli/sample_args.h"
#include "cli/slow_arg.h"
#include "cli/sound_args.h"
#include "cli/spin_arg.h"
#include "cli/usual_profile.h"

#include <string>

namespace evenfeed {

class MeasureCommand : public Command {
 public:
  std::string_view name() const override { return "measure"; }
  std::string_view task() const override { return "Step by step"; }
  std::string_view summary() const override {
    return "Measure every feed in a film of a calibrated bench";
  }
  std::string_view example() const override {
    return "evenfeed measure film.mp4 --bench bench.toml --out feeds.csv";
  }
  void setup(Arguments& args) override;
  int run() override;

 private:
  std::string film_;
  std::string sightings_in_;
  std::string bench_;
  std::string profile_ = kUsualProfile;
  SpinArg spin_;
  SlowArg slow_;
  std::string out_ = "feeds.csv";
  std::string sightings_out_;
  SampleArgs sample_;
  SoundArgs sound_;
  bool json_ = false;
  bool quiet_ = false;
};

}  // namespace evenfeed
