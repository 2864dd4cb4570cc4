// SPDX-License-Identifier: MIT
// evenfeed store list|show|add|service|export|check|backup: the sessions that
// are kept, and the launcher's service log.
#pragma once

#include "cli/command.h"
#include "cli/filing_args.h"

#include <string>

namespace evenfeed {

class StoreCommand : public Command {
 public:
  std::string_view name() const override { return "store"; }
  std::string_view task() const override { return "Over weeks"; }
  std::string_view summary() const override {
    return "Sessions that were filed: list, show, add, rename, export, "
           "check, back up";
  }
  std::string_view example() const override {
    return "evenfeed store service --db launchers.db --launcher bench-A "
           "--add new-balls";
  }
  void setup(Arguments& args) override;
  int run() override;

 private:
  Arguments action(Arguments& args,
                   const std::string& name,
                   const std::string& words,
                   int (StoreCommand::*does)(),
                   const std::vector<std::string>& examples);
  void common(Arguments& one);
  void setup_list(Arguments& args);
  void setup_show(Arguments& args);
  void setup_add(Arguments& args);
  void setup_service(Arguments& args);
  void setup_rename(Arguments& args);
  void setup_export(Arguments& args);
  void setup_check(Arguments& args);
  void setup_backup(Arguments& args);
  int list();
  int show();
  int add();
  int service();
  int rename();
  int export_session();
  int check();
  int back_up();
  void say(const std::string& words, const std::string& json) const;

  struct Action {
    Arguments args;
    int (StoreCommand::*run)();
  };
  std::vector<Action> actions_;
  std::string db_;
  std::string launcher_;
  std::string to_;
  bool merge_ = false;
  int session_ = 0;
  FilingArgs filing_;
  std::string folder_;
  std::string film_;
  std::string profile_;
  std::string add_;
  std::string date_;
  std::string item_;
  std::string note_;
  int unfilmed_ = 0;
  bool new_launcher_ = false;
  std::string out_;
  bool json_ = false;
  bool csv_ = false;
  bool quiet_ = false;
};

}  // namespace evenfeed
