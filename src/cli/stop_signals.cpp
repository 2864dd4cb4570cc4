// SPDX-License-Identifier: MIT
#include "cli/stop_signals.h"

#include <csignal>

namespace evenfeed {
namespace {

std::atomic<bool> stop_wanted{false};
static_assert(std::atomic<bool>::is_always_lock_free);

void on_signal(int number) {
  stop_wanted = true;
  std::signal(number, SIG_DFL);  // a second one is meant
}

}  // namespace

StopSignals::StopSignals() {
  stop_wanted = false;
  std::signal(SIGINT, on_signal);
  std::signal(SIGTERM, on_signal);
}

StopSignals::~StopSignals() {
  std::signal(SIGINT, SIG_DFL);
  std::signal(SIGTERM, SIG_DFL);
}

std::atomic<bool>& StopSignals::wanted() { return stop_wanted; }

}  // namespace evenfeed
