// SPDX-License-Identifier: MIT
// Keys of a terminal as they are pressed, without Enter and without being
// shown; Ctrl-C and the like stay what they are.
#pragma once

#include <atomic>
#include <functional>
#include <optional>
#include <string>
#include <thread>

#include <termios.h>

namespace evenfeed {

/// A terminal that this program stands in the foreground of: somebody may type.
[[nodiscard]] bool person_at(int handle);

/// A line typed there, without its end; nullopt when it was closed, or at
/// `stop`.
[[nodiscard]] std::optional<std::string> typed_line(
    int handle, const std::atomic<bool>& stop);

class TerminalKeys {
 public:
  using Pressed = std::function<void(char)>;

  /// From a thread of its own. Where `handle` is no terminal, or this program
  /// does not stand in its foreground, nothing is ever pressed.
  TerminalKeys(int handle, Pressed pressed);
  /// The terminal is as it was.
  ~TerminalKeys();
  TerminalKeys(const TerminalKeys&) = delete;
  TerminalKeys& operator=(const TerminalKeys&) = delete;

  [[nodiscard]] bool listening() const { return thread_.joinable(); }

 private:
  void listen();

  int handle_;
  Pressed pressed_;
  termios before_{};
  std::atomic<bool> end_{false};
  std::thread thread_;
};

}  // namespace evenfeed
