// SPDX-License-Identifier: MIT
#include "cli/bench_line.h"

#include "base/printable.h"
#include "cli/print_words.h"

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <string_view>

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

// As the first of these says that is set, which is how the C library has it.
bool letters_are_utf8() {
  for (const char* name : {"LC_ALL", "LC_CTYPE", "LANG"}) {
    const char* set = std::getenv(name);
    if (set == nullptr || *set == '\0') continue;
    const std::string_view value(set);
    return value.find("UTF-8") != value.npos ||
           value.find("utf8") != value.npos;
  }
  return false;
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
  if (quiet_ || !terminal_ || (line_.empty() && typing_.empty())) return;
  fmt::print("\r\033[K");
  std::fflush(stdout);
}

void BenchLine::draw() {
  if (quiet_ || !terminal_) return;
  std::string shown = printable(typing_.empty() ? line_ : typing_);
  const std::size_t room = terminal_columns() - 1;
  if (shown.size() > room) shown.resize(room);
  fmt::print("\r\033[K{}", shown);
  std::fflush(stdout);
}

void BenchLine::tell(const LiveEvent& event,
                     const BenchState& state,
                     const std::string& order) {
  const std::lock_guard lock(mutex_);
  if (quiet_) return;
  if (stays(event)) {
    wipe();
    print_words(words_of(event) + "\n");
    std::fflush(stdout);
  }
  line_ =
      minutes(event.t_s) + "  " +
      (order.empty() ? state_line(state)
                     : fmt::format("{:<9} {}", bench_word(state.word), order));
  draw();
}

void BenchLine::show_picture(const std::vector<std::string>& lines,
                             int columns) {
  const std::lock_guard lock(mutex_);
  if (quiet_ || !terminal_ || !letters_are_utf8()) return;
  if (terminal_columns() < static_cast<std::size_t>(columns)) return;
  wipe();
  for (const std::string& line : lines) fmt::print("{}\n", line);
  std::fflush(stdout);
  draw();
}

void BenchLine::show_typing(const std::string& prompt) {
  const std::lock_guard lock(mutex_);
  wipe();
  typing_ = prompt;
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
