// SPDX-License-Identifier: MIT
#pragma once

#include "cli/command.h"

#include <string>
#include <vector>

namespace evenfeed {

class JobFiles;
struct ClipPart;
struct FilmedSession;
struct ReportInput;

class ClipCommand : public Command {
 public:
  std::string_view name() const override { return "clip"; }
  std::string_view task() const override { return "From a film to a verdict"; }
  std::string_view summary() const override {
    return "Cut feeds out of a film, with their measured flight drawn in";
  }
  std::string_view example() const override {
    return "evenfeed clip film.mp4 --feeds 12,21 --from tuesday --out clips "
           "--slow 8";
  }
  void setup(Arguments& args) override;
  int run() override;

 private:
  void declare(JobFiles& files, const std::vector<std::string>& names) const;
  ClipPart part_of(const ReportInput& session,
                   const FilmedSession& filmed,
                   int number) const;

  std::string film_;
  std::vector<int> feeds_;
  std::string from_;
  std::string out_;
  int slow_ = 1;
  bool plain_ = false;
  bool json_ = false;
  bool quiet_ = false;
};

}  // namespace evenfeed
