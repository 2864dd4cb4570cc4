// SPDX-License-Identifier: MIT
// One line on the terminal that says how far long work is. Nothing is shown
// when the output is piped or --quiet is given.
#pragma once

#include <chrono>
#include <string>

namespace evenfeed {

class ProgressLine {
 public:
  explicit ProgressLine(bool quiet);
  ~ProgressLine();
  ProgressLine(const ProgressLine&) = delete;
  ProgressLine& operator=(const ProgressLine&) = delete;

  /// `done` of 0..1 gives the time left, `words` what stands before it. At
  /// most ten times a second, however often it is called.
  void show(double done, const std::string& words);
  /// Wipes the line, so that what follows starts clean; the clock restarts.
  void clear();

 private:
  using Clock = std::chrono::steady_clock;
  bool on_;
  bool dirty_ = false;
  Clock::time_point start_ = Clock::now();
  Clock::time_point last_ = {};
};

}  // namespace evenfeed
