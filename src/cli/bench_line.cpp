// SPDX-License-Identifier: MIT
#include "cli/bench_line.h"

#include "base/printable.h"
#include "cli/print_words.h"

#include <algorithm>
#include <cstdio>

#include <fmt/format.h>
#include <sys/ioctl.h>
#include <unistd.h>

namespace evenfeed {
namespace {

std::size_t terminal_columns() {
  winsize size{};
  const bool known =
      ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0;
  return known ? size.ws_col : 80;
}

std::string minutes(double t_s) {
  const int whole_s = static_cast<int>(std::max(t_s, 0.0));
  return fmt::format("{:02}:{:02}", whole_s / 60, whole_s % 60);
}

// Feeds that are like the others need no words of their own.
bool stays(const LiveEvent& event) {
  switch (event.kind) {
    case LiveEventKind::kFeed:
      return event.verdict == verdict_name(Verdict::kDiscard);
    case LiveEventKind::kBallSeen:
    case LiveEventKind::kRenewed:
      return false;
    default:
      return true;
  }
}

std::string words_of(const LiveEvent& event) {
  std::string words = minutes(event.t_s) + "  " + event.words;
  if (event.kind == LiveEventKind::kFeed && !event.reasons.empty()) {
    words += " - not like the others: " + event.reasons.front();
  }
  return words;
}

}  // namespace

BenchLine::BenchLine(bool quiet)
    : quiet_(quiet), terminal_(isatty(STDOUT_FILENO) == 1) {}

BenchLine::~BenchLine() {
  const std::lock_guard lock(mutex_);
  wipe();
}

void BenchLine::wipe() {
  if (quiet_ || !terminal_ || line_.empty()) return;
  fmt::print("\r\033[K");
  std::fflush(stdout);
}

void BenchLine::draw() {
  if (quiet_ || !terminal_) return;
  std::string shown = printable(line_);
  const std::size_t room = terminal_columns() - 1;
  if (shown.size() > room) shown.resize(room);
  fmt::print("\r\033[K{}", shown);
  std::fflush(stdout);
}

void BenchLine::tell(const LiveEvent& event, const BenchState& state) {
  const std::lock_guard lock(mutex_);
  if (quiet_) return;
  if (stays(event)) {
    wipe();
    print_words(words_of(event) + "\n");
    std::fflush(stdout);
  }
  line_ = minutes(event.t_s) + "  " + state_line(state);
  draw();
}

void BenchLine::say(const std::string& words) {
  const std::lock_guard lock(mutex_);
  if (quiet_) return;
  wipe();
  print_words(words + "\n");
  std::fflush(stdout);
  draw();
}

}  // namespace evenfeed
