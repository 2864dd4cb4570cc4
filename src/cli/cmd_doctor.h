// SPDX-License-Identifier: MIT
// evenfeed doctor: whether a live session can be filmed and measured on this
// machine, and what to do where it cannot.
#pragma once

#include "cli/command.h"

#include <string>

namespace evenfeed {

class DoctorCommand : public Command {
 public:
  std::string_view name() const override { return "doctor"; }
  std::string_view task() const override { return "At the bench"; }
  std::string_view summary() const override {
    return "Tell cameras, formats, disk and speed of this machine, and what to "
           "do";
  }
  std::string_view example() const override {
    return "evenfeed doctor --size 1280x720 --rate 60";
  }
  void setup(Arguments& args) override;
  int run() override;

 private:
  std::string size_ = "1280x720";
  double rate_hz_ = 60;
  std::string cameras_ = "/dev";
  std::string out_ = ".";
  bool json_ = false;
  bool quiet_ = false;
};

}  // namespace evenfeed
