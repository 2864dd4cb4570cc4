// SPDX-License-Identifier: MIT
#pragma once

#include "cli/command.h"

#include <array>
#include <string>
#include <vector>

namespace evenfeed {

struct WantedPair;

class OverlayCommand : public Command {
 public:
  std::string_view name() const override { return "overlay"; }
  std::string_view task() const override { return "Compare samples"; }
  std::string_view summary() const override {
    return "Lay two matched trials over each other, in one film";
  }
  std::string_view example() const override {
    return "evenfeed overlay film.mp4 --from tuesday --pairs 12+21 --out pairs "
           "--slow 8";
  }
  void setup(Arguments& args) override;
  int run() override;

 private:
  void check_use() const;
  void declare(const std::vector<WantedPair>& pairs) const;
  std::array<std::string, 2> names(
      const std::array<std::string, 2>& told) const;

  std::vector<std::string> films_;
  std::vector<std::string> from_;
  std::vector<std::string> pairs_;
  std::vector<std::string> names_;
  std::string matched_;
  std::string form_ = "ghosts";
  std::string out_;
  int slow_ = 1;
  bool json_ = false;
  bool quiet_ = false;
};

}  // namespace evenfeed
