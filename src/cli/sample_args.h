// SPDX-License-Identifier: MIT
// Where the sample stands, for commands that measure.
#pragma once

#include "cli/arguments.h"
#include "pipeline/profile.h"

#include <optional>

namespace evenfeed {

class SampleArgs {
 public:
  void setup(Arguments& args);
  /// What was told on the command line is the truth.
  void apply(Profile& profile) const;

 private:
  std::optional<double> x_mm_;
};

}  // namespace evenfeed
