// SPDX-License-Identifier: MIT
// evenfeed report: the page of a session folder made anew, its drawings as
// files, and the pages of a store's sessions.
#pragma once

#include "cli/command.h"
#include "cli/usual_profile.h"
#include "cli/written_files.h"
#include "report/report_input.h"

#include <string>

namespace evenfeed {

class ReportCommand : public Command {
 public:
  std::string_view name() const override { return "report"; }
  std::string_view task() const override { return "From a film to a verdict"; }
  std::string_view summary() const override {
    return "Write the page of a session folder, or of a store's sessions";
  }
  std::string_view example() const override {
    return "evenfeed report tuesday --pictures tuesday/drawings";
  }
  void setup(Arguments& args) override;
  int run() override;

 private:
  void check_use() const;
  int print_row() const;
  int report_folder() const;
  int report_store() const;
  void tell(const ReportInput& input,
            const std::vector<WrittenFile>& written) const;

  std::string folder_;
  std::string profile_ = kUsualProfile;
  std::string out_;
  std::string pictures_;
  std::string db_;
  std::string launcher_;
  bool csv_ = false;
  bool json_ = false;
  bool quiet_ = false;
};

}  // namespace evenfeed
