// SPDX-License-Identifier: MIT
// The terminal's keys to the desk, and what comes of them to the bench's line.
#pragma once

#include "cli/bench_keys.h"
#include "cli/terminal_keys.h"

#include <atomic>

namespace evenfeed {

class BenchLine;
class LiveDesk;

class LiveKeyboard {
 public:
  /// All three outlive it. `stop` is set when the session is to end.
  LiveKeyboard(LiveDesk& desk, BenchLine& line, std::atomic<bool>& stop);
  ~LiveKeyboard();
  LiveKeyboard(const LiveKeyboard&) = delete;
  LiveKeyboard& operator=(const LiveKeyboard&) = delete;

 private:
  void press(char byte);
  void wish(const LogWish& wish);

  LiveDesk& desk_;
  BenchLine& line_;
  std::atomic<bool>& stop_;
  BenchKeys keys_;
  TerminalKeys terminal_;  // presses keys, and goes first
};

}  // namespace evenfeed
