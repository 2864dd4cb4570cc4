// SPDX-License-Identifier: MIT
#include "cli/bench_keys.h"

#include "live/trial_log.h"

#include <utility>

namespace evenfeed {
namespace {

constexpr char kEscape = 27;
constexpr char kDelete = 127;

bool is_enter(char byte) { return byte == '\r' || byte == '\n'; }

// The last character, not the last byte.
void take_back(std::string& text) {
  while (!text.empty()) {
    const auto last = static_cast<unsigned char>(text.back());
    text.pop_back();
    if ((last & 0xc0) != 0x80) return;
  }
}

}  // namespace

std::optional<LogWish> BenchKeys::begun(char byte) {
  if (is_enter(byte)) return LogWish{"step", ""};
  switch (byte) {
    case 's':
      word_ = "sample";
      break;
    case 'b':
      word_ = "ball";
      break;
    case 'n':
      word_ = "note";
      break;
    case 'q':
      word_ = "end";
      break;
    case 'x':
      return LogWish{"exclude", ""};
    case 'u':
      return LogWish{"undo", ""};
    case 'h':
    case '?':
      return LogWish{"help", ""};
    default:
      break;
  }
  return std::nullopt;
}

std::optional<LogWish> BenchKeys::typed(char byte) {
  if (word_.empty()) return begun(byte);
  if (byte == kEscape) {
    word_.clear();
    text_.clear();
    return std::nullopt;
  }
  if (is_enter(byte)) {
    LogWish wish{std::exchange(word_, ""), std::exchange(text_, "")};
    // A slip of the finger must not end a session.
    if (wish.word == "end" && std::exchange(wish.text, "") != "y") {
      return std::nullopt;
    }
    return wish;
  }
  if (byte == kDelete || byte == '\b') {
    take_back(text_);
  } else if (static_cast<unsigned char>(byte) >= ' ' &&
             text_.size() < TrialLog::kLongest) {
    text_ += byte;
  }
  return std::nullopt;
}

std::string BenchKeys::prompt() const {
  if (word_.empty()) return "";
  const std::string asked =
      word_ == "end" ? "end the session? y and Enter" : word_;
  return asked + ": " + text_ + "_";
}

std::string BenchKeys::help() {
  return "keys: s sample, b ball, n note on the last feed (Enter when typed, "
         "Esc leaves it), x the last feed does not count, u undo, Enter goes "
         "on in the order, q ends the session, h this";
}

}  // namespace evenfeed
