// SPDX-License-Identifier: MIT
#include "cli/terminal_keys.h"

#include <cerrno>
#include <chrono>
#include <utility>

#include <poll.h>
#include <unistd.h>

namespace evenfeed {
namespace {

// How soon the end is heard.
constexpr int kNap_ms = 50;

// Others are stopped by the system when they touch the terminal.
bool in_foreground(int handle) { return tcgetpgrp(handle) == getpgrp(); }

enum class Waited { kTyped, kNothing, kGone };

Waited wait_for_typing(int handle) {
  pollfd waiting{handle, POLLIN, 0};
  const int ready = poll(&waiting, 1, kNap_ms);
  if (ready < 0 && errno != EINTR) return Waited::kGone;
  if (ready <= 0) return Waited::kNothing;
  if (isatty(handle) != 1 || in_foreground(handle)) return Waited::kTyped;
  std::this_thread::sleep_for(std::chrono::milliseconds(kNap_ms));
  return Waited::kNothing;
}

}  // namespace

bool person_at(int handle) {
  return isatty(handle) == 1 && in_foreground(handle);
}

std::optional<std::string> typed_line(int handle,
                                      const std::atomic<bool>& stop) {
  std::string line;
  while (!stop) {
    const Waited waited = wait_for_typing(handle);
    if (waited == Waited::kGone) return std::nullopt;
    if (waited == Waited::kNothing) continue;
    char byte = 0;
    if (read(handle, &byte, 1) != 1) return std::nullopt;
    if (byte == '\n') return line;
    line += byte;
  }
  return std::nullopt;
}

TerminalKeys::TerminalKeys(int handle, Pressed pressed)
    : handle_(handle), pressed_(std::move(pressed)) {
  if (!person_at(handle_)) return;
  if (tcgetattr(handle_, &before_) != 0) return;
  termios as_pressed = before_;
  as_pressed.c_lflag &= ~static_cast<tcflag_t>(ICANON | ECHO);
  as_pressed.c_cc[VMIN] = 1;
  as_pressed.c_cc[VTIME] = 0;
  if (tcsetattr(handle_, TCSANOW, &as_pressed) != 0) return;
  thread_ = std::thread([this] { listen(); });
}

TerminalKeys::~TerminalKeys() {
  if (!thread_.joinable()) return;
  end_ = true;
  thread_.join();
  // Put into the background meanwhile, it must not wait for the foreground.
  if (in_foreground(handle_)) tcsetattr(handle_, TCSANOW, &before_);
}

void TerminalKeys::listen() {
  while (!end_) {
    const Waited waited = wait_for_typing(handle_);
    if (waited == Waited::kGone) return;
    if (waited == Waited::kNothing) continue;
    char byte = 0;
    if (read(handle_, &byte, 1) != 1) return;  // it is gone
    pressed_(byte);
  }
}

}  // namespace evenfeed
