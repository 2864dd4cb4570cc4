// SPDX-License-Identifier: MIT
// evenfeed live: the same job while the bench runs. Each feed is told as its
// arc ends, the state stands on the terminal, and at the end the folder holds
// what 'session' writes.
#pragma once

#include "cli/calibration_args.h"
#include "cli/command.h"
#include "cli/filing_args.h"
#include "cli/judging_args.h"
#include "cli/sample_args.h"
#include "cli/spin_arg.h"

#include <memory>
#include <optional>
#include <string>

namespace evenfeed {

class BenchLine;
class LiveDesk;
struct CutOff;

class LiveCommand : public Command {
 public:
  std::string_view name() const override { return "live"; }
  std::string_view task() const override { return "At the bench"; }
  std::string_view summary() const override {
    return "Judge feeds at the bench, while they come";
  }
  std::string_view example() const override {
    return "evenfeed live --rehearse film.mp4 --out rehearsal";
  }
  void setup(Arguments& args) override;
  int run() override;

 private:
  void check_options() const;
  std::optional<CutOff> take_up();
  void open_page(LiveDesk& desk, BenchLine& line) const;

  std::string rehearse_;
  bool fast_ = false;
  std::string resume_;
  std::string profile_ = "table-tennis";
  std::string bench_;
  std::string out_;
  CalibrationArgs calibration_;
  SpinArg spin_;
  FilingArgs filing_;
  JudgingArgs judging_;
  SampleArgs sample_;
  std::string listen_;
  int port_ = 0;
  bool no_page_ = false;
  std::string pictures_ = "all";
  bool quiet_ = false;
};

}  // namespace evenfeed
