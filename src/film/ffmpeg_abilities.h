// SPDX-License-Identifier: MIT
// What the FFmpeg on this machine was built to do, of what a bench may want.
#pragma once

#include <string>
#include <vector>

namespace evenfeed {

enum class AbilityKind { kProtocol, kContainer, kDecoder, kEncoder, kMuxer };

struct FfmpegAbility {
  AbilityKind kind = AbilityKind::kProtocol;
  std::string name;     ///< FFmpeg's: "rtsp", "h264"
  std::string use;      ///< "RTSP cameras (rtsp://)"
  bool needed = false;  ///< nothing goes without it
  bool there = false;
};

/// "protocol", "container", "decoder", "encoder", "muxer".
[[nodiscard]] std::string ability_kind_name(AbilityKind kind);

[[nodiscard]] std::vector<FfmpegAbility> ffmpeg_abilities();

/// Its own, as "5.1.8-0+deb12u1".
[[nodiscard]] std::string ffmpeg_version();

}  // namespace evenfeed
