// SPDX-License-Identifier: MIT
#include "cli/progress_line.h"

#include <cstdio>

#include <fmt/format.h>
#include <unistd.h>

namespace evenfeed {
namespace {

std::string time_left(double done, double elapsed_s) {
  if (done < 0.02 || elapsed_s < 1) return "";
  const int left_s = static_cast<int>(elapsed_s * (1 - done) / done + 0.5);
  return left_s < 90 ? fmt::format(", {} s left", left_s)
                     : fmt::format(", {} min left", (left_s + 30) / 60);
}

}  // namespace

ProgressLine::ProgressLine(bool quiet)
    : on_(!quiet && ::isatty(STDERR_FILENO) == 1) {}

ProgressLine::~ProgressLine() { clear(); }

void ProgressLine::show(double done, const std::string& words) {
  const auto now = Clock::now();
  if (!on_ || now - last_ < std::chrono::milliseconds(100)) return;
  last_ = now;
  dirty_ = true;
  const double elapsed_s = std::chrono::duration<double>(now - start_).count();
  fmt::print(stderr,
             "\r\033[K{:3.0f} %  {}{}",
             100 * done,
             words,
             time_left(done, elapsed_s));
  std::fflush(stderr);
}

void ProgressLine::clear() {
  if (dirty_) {
    fmt::print(stderr, "\r\033[K");
    std::fflush(stderr);
  }
  dirty_ = false;
  start_ = Clock::now();
}

}  // namespace evenfeed
