// SPDX-License-Identifier: MIT
// Whether a film is listened to and where its sound was taken, shared by
// measure and session.
#pragma once

#include "cli/arguments.h"

#include <string>

namespace evenfeed {

struct MeasureOptions;

class SoundArgs {
 public:
  void setup(Arguments& args);
  /// Throws UsageError for a microphone that is no place, or that nobody
  /// listens to.
  void apply(MeasureOptions& options) const;

 private:
  bool no_sound_ = false;
  std::string microphone_;
};

}  // namespace evenfeed
