// SPDX-License-Identifier: MIT
// What a user can say about the balls' spin, shared by measure and session.
#pragma once

#include "cli/arguments.h"

#include <string>

namespace evenfeed {

struct FlightOptions;

class SpinArg {
 public:
  void setup(Arguments& args);
  /// Changes what the profile believes, if anything was said.
  void apply(FlightOptions& flight) const;

 private:
  std::string spin_;
};

}  // namespace evenfeed
