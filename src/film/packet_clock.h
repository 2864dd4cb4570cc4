// SPDX-License-Identifier: MIT
// Whoever says when the pictures of a stream were taken. A stream's stamps
// jitter and pictures get lost; what is made of them is not this folder's.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace evenfeed {

struct PacketTime {
  double t_s = 0;         ///< on the stamps' clock
  bool doubtful = false;  ///< better not measured
};

class PacketClock {
 public:
  virtual ~PacketClock() = default;
  /// The stamp of the next packet. Times of packets that waited, in order, each
  /// once.
  [[nodiscard]] virtual std::vector<PacketTime> add(double stamp_s) = 0;
  /// No more: the times of those that wait.
  [[nodiscard]] virtual std::vector<PacketTime> finish() = 0;
  /// Standard error of the last times.
  [[nodiscard]] virtual double error_s() const = 0;
  /// Pictures a second as they were found; 0 while nothing is.
  [[nodiscard]] virtual double rate_hz() const = 0;
  /// What is wrong and what to do, when the clock is of no use; else empty.
  [[nodiscard]] virtual std::string hopeless() const = 0;
};

/// A clock for pictures of so many a second; 0: not known.
using MakePacketClock =
    std::function<std::unique_ptr<PacketClock>(double rate_hz)>;

}  // namespace evenfeed
