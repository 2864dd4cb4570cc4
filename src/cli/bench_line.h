// SPDX-License-Identifier: MIT
// The state of the bench on the terminal: one line that is written over; where
// the output is no terminal, a line whenever the word changes.
#pragma once

#include "live/live_event.h"

#include <mutex>
#include <string>
#include <vector>

namespace evenfeed {

class BenchLine {
 public:
  explicit BenchLine(bool quiet);
  ~BenchLine();
  BenchLine(const BenchLine&) = delete;
  BenchLine& operator=(const BenchLine&) = delete;

  /// From any thread.
  void tell(const LiveEvent& event,
            const BenchState& state,
            const std::string& order);
  /// Words that stay, above the line.
  void say(const std::string& words);
  /// A picture of letters as they are, where a terminal has room for it.
  void show_picture(const std::vector<std::string>& lines, int columns);
  /// What is being typed, in place of the line; empty: nothing.
  void show_typing(const std::string& prompt);

 private:
  void draw();
  void wipe();

  bool quiet_;
  bool terminal_;
  std::mutex mutex_;
  std::string line_;
  std::string typing_;
};

}  // namespace evenfeed
