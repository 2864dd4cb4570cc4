// SPDX-License-Identifier: MIT
// evenfeed wear: what a launcher's sessions say about its wear.
#pragma once

#include "cli/command.h"
#include "cli/usual_profile.h"

#include <string>

namespace evenfeed {

class WearCommand : public Command {
 public:
  std::string_view name() const override { return "wear"; }
  std::string_view task() const override { return "Over weeks"; }
  std::string_view summary() const override {
    return "Tell wear from a launcher's filed sessions, and how long it lasts";
  }
  std::string_view example() const override {
    return "evenfeed wear --db launchers.db --launcher bench-A --out wear";
  }
  void setup(Arguments& args) override;
  int run() override;

 private:
  std::string db_;
  std::string launcher_;
  std::string profile_ = kUsualProfile;
  std::string out_;
  std::string pictures_;
  bool json_ = false;
  bool quiet_ = false;
};

}  // namespace evenfeed
