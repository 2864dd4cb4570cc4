// SPDX-License-Identifier: MIT
// The clock model as a stream's reader asks for it.
#pragma once

#include "film/packet_clock.h"
#include "live/clock_model.h"

#include <string>
#include <vector>

namespace evenfeed {

class StreamClock : public PacketClock {
 public:
  explicit StreamClock(double rate_hz) : model_(rate_hz) {}

  std::vector<PacketTime> add(double stamp_s) override;
  std::vector<PacketTime> finish() override;
  double error_s() const override { return model_.error_s(); }
  double rate_hz() const override;
  std::string hopeless() const override { return model_.hopeless(); }

 private:
  ClockModel model_;
};

[[nodiscard]] MakePacketClock stream_clocks();

}  // namespace evenfeed
