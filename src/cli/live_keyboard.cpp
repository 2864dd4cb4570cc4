// SPDX-License-Identifier: MIT
#include "cli/live_keyboard.h"

#include "base/error.h"
#include "cli/bench_line.h"
#include "live/live_desk.h"

#include <unistd.h>

namespace evenfeed {

LiveKeyboard::LiveKeyboard(LiveDesk& desk,
                           BenchLine& line,
                           std::atomic<bool>& stop)
    : desk_(desk),
      line_(line),
      stop_(stop),
      terminal_(STDIN_FILENO, [this](char byte) { press(byte); }) {
  if (terminal_.listening()) line_.say(BenchKeys::help());
}

LiveKeyboard::~LiveKeyboard() = default;

void LiveKeyboard::press(char byte) {
  const auto wished = keys_.typed(byte);
  line_.show_typing(keys_.prompt());
  if (!wished) return;
  try {
    wish(*wished);
  } catch (const InputError& error) {  // the disk is full
    line_.say(error.what());
  }
}

void LiveKeyboard::wish(const LogWish& wish) {
  if (wish.word == "help") return line_.say(BenchKeys::help());
  if (wish.word == "end") {
    stop_ = true;
    return line_.say("the session ends");
  }
  const std::string why = desk_.act(wish);
  if (!why.empty()) return line_.say("not noted: " + why);
  const std::string order = desk_.order_words();
  line_.say("noted: " + wish.word + (wish.text.empty() ? "" : " " + wish.text) +
            (order.empty() ? "" : "; " + order));
}

}  // namespace evenfeed
