// SPDX-License-Identifier: MIT
#include "live/live_event.h"

namespace evenfeed {

std::string_view live_event_name(LiveEventKind kind) {
  switch (kind) {
    case LiveEventKind::kBallSeen:
      return "ball";
    case LiveEventKind::kFeed:
      return "feed";
    case LiveEventKind::kWithdrawn:
      return "withdrawn";
    case LiveEventKind::kRenewed:
      return "renewed";
    case LiveEventKind::kState:
      return "state";
    case LiveEventKind::kCameraMoved:
      return "camera-moved";
    case LiveEventKind::kCameraLost:
      return "camera-lost";
    case LiveEventKind::kCameraBack:
      return "camera-back";
    case LiveEventKind::kClock:
      return "clock";
    case LiveEventKind::kDisk:
      return "disk";
    case LiveEventKind::kBehind:
      return "behind";
    case LiveEventKind::kEnded:
      return "ended";
  }
  return "";
}

}  // namespace evenfeed
