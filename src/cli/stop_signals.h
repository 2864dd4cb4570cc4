// SPDX-License-Identifier: MIT
// Ctrl-C and SIGTERM as a wish to end in good order. A second one ends the
// program at once.
#pragma once

#include <atomic>

namespace evenfeed {

class StopSignals {
 public:
  StopSignals();
  /// Signals do again what they did before.
  ~StopSignals();
  StopSignals(const StopSignals&) = delete;
  StopSignals& operator=(const StopSignals&) = delete;

  [[nodiscard]] std::atomic<bool>& wanted();
};

}  // namespace evenfeed
