// SPDX-License-Identifier: MIT
// evenfeed store list|show|service|export|check|backup: the sessions that are
// kept, and the launcher's service log.
#pragma once

#include "cli/command.h"

#include <string>

namespace evenfeed {

class StoreCommand : public Command {
 public:
  std::string_view name() const override { return "store"; }
  std::string_view summary() const override {
    return "Sessions that were filed: list, show, export, check, back up";
  }
  std::string_view example() const override {
    return "evenfeed store service --db launchers.db --launcher bench-A "
           "--add wheel-cleaned --date 2026-03-14";
  }
  void setup(CLI::App& app) override;
  int run() override;

 private:
  int list();
  int show();
  int service();
  int export_session();
  int check();
  int back_up();
  void say(const std::string& words, const std::string& json) const;

  CLI::App* app_ = nullptr;
  std::string db_;
  std::string launcher_;
  int session_ = 0;
  std::string add_;
  std::string date_;
  std::string item_;
  std::string note_;
  int unfilmed_ = 0;
  bool new_launcher_ = false;
  std::string out_;
  bool json_ = false;
  bool quiet_ = false;
};

}  // namespace evenfeed
