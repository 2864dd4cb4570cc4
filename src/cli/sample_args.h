// SPDX-License-Identifier: MIT
// Where the sample stands, for commands that measure.
#pragma once

#include "pipeline/profile.h"

#include <optional>

#include <CLI/CLI.hpp>

namespace evenfeed {

class SampleArgs {
 public:
  void setup(CLI::App& app);
  /// What was told on the command line is the truth.
  void apply(Profile& profile) const;

 private:
  std::optional<double> x_mm_;
};

}  // namespace evenfeed
