// SPDX-License-Identifier: MIT
// evenfeed session: the main job. A film to a calibrated bench, measured
// feeds, a verdict for each and a page to look at.
#pragma once

#include "cli/command.h"
#include "cli/session_args.h"
#include "cli/slow_arg.h"
#include "cli/sound_args.h"

#include <string>

namespace evenfeed {

class SessionCommand : public Command {
 public:
  std::string_view name() const override { return "session"; }
  std::string_view task() const override { return "From a film to a verdict"; }
  std::string_view summary() const override {
    return "Do the whole job on a film: calibrate, measure, judge, report";
  }
  std::string_view example() const override {
    return "evenfeed session film.mp4 --out tuesday --launcher bench-A "
           "--sample sheet-K";
  }
  void setup(Arguments& args) override;
  int run() override;

 private:
  std::string film_;
  SessionArgs session_;
  SlowArg slow_;
  SoundArgs sound_;
  std::string out_;
  bool verbose_ = false;
  bool json_ = false;
  bool quiet_ = false;
};

}  // namespace evenfeed
