// SPDX-License-Identifier: MIT
#include "live/stream_clock.h"

#include <cmath>

namespace evenfeed {
namespace {

std::vector<PacketTime> of(const std::vector<FrameTime>& times) {
  std::vector<PacketTime> all;
  all.reserve(times.size());
  for (const FrameTime& time : times) {
    all.push_back({time.t_s, time.doubtful});
  }
  return all;
}

}  // namespace

std::vector<PacketTime> StreamClock::add(double stamp_s) {
  return of(model_.add(stamp_s));
}

std::vector<PacketTime> StreamClock::finish() { return of(model_.finish()); }

double StreamClock::rate_hz() const {
  return std::isnan(model_.error_s()) ? 0 : 1 / model_.period_s();
}

MakePacketClock stream_clocks() {
  return [](double rate_hz) { return std::make_unique<StreamClock>(rate_hz); };
}

}  // namespace evenfeed
