// SPDX-License-Identifier: MIT
// evenfeed qualify FEEDS.csv: is the launcher ready, which feeds count, when
// did it change?
#pragma once

#include "cli/command.h"
#include "cli/judging_args.h"
#include "cli/usual_profile.h"

#include <string>
#include <vector>

namespace evenfeed {

class QualifyCommand : public Command {
 public:
  std::string_view name() const override { return "qualify"; }
  std::string_view task() const override { return "Step by step"; }
  std::string_view summary() const override {
    return "Judge measured feeds: ready or not, keep, review or discard";
  }
  std::string_view example() const override {
    return "evenfeed qualify out/demo/feeds.csv "
           "--out tagged.csv --summary summary.json";
  }
  void setup(Arguments& args) override;
  int run() override;

 private:
  std::string feeds_;
  std::string profile_ = kUsualProfile;
  std::vector<std::string> characteristics_;
  std::string baseline_out_;
  std::string out_;
  std::string summary_;
  JudgingArgs judging_;
  bool json_ = false;
  bool quiet_ = false;
};

}  // namespace evenfeed
