// SPDX-License-Identifier: MIT
#include "film/stream_start.h"

namespace evenfeed {
namespace {

constexpr std::size_t kPictures = 16;
// Of its step a picture takes at least that, in the mean over so many.
constexpr double kShare = 0.7;
// Where the rate is not known: cameras send 250 pictures a second at most.
constexpr double kShortestStep_s = 4e-3;

}  // namespace

StreamStart::StreamStart(double rate_hz)
    : least_s_(static_cast<double>(kPictures) *
               (rate_hz > 0 ? kShare / rate_hz : kShortestStep_s)) {}

bool StreamStart::over(double now_s) {
  if (over_) return true;
  came_s_.push_back(now_s);
  if (came_s_.size() <= kPictures) return false;
  over_ = now_s - came_s_.front() >= least_s_;
  came_s_.pop_front();
  return over_;
}

}  // namespace evenfeed
