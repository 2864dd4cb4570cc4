// SPDX-License-Identifier: MIT
#include "film/ffmpeg_abilities.h"

#include <array>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavdevice/avdevice.h>
#include <libavformat/avformat.h>
}

namespace evenfeed {
namespace {

struct Wanted {
  AbilityKind kind;
  const char* name;
  const char* use;
  bool needed = false;
};

// What a bench may want: where streams come from, what they are wrapped and
// coded in, and what this program writes.
constexpr std::array kWanted{
    Wanted{AbilityKind::kProtocol, "file", "films", true},
    Wanted{AbilityKind::kProtocol, "tcp", "streams over TCP (tcp://)"},
    Wanted{AbilityKind::kProtocol, "udp", "streams over UDP (udp://)"},
    Wanted{AbilityKind::kProtocol, "rtp", "RTSP cameras over UDP"},
    Wanted{AbilityKind::kProtocol, "http", "cameras with http:// addresses"},
    Wanted{AbilityKind::kProtocol, "https", "cameras with https:// addresses"},
    Wanted{AbilityKind::kProtocol, "srt", "streams with srt:// addresses"},
    Wanted{AbilityKind::kContainer, "rtsp", "RTSP cameras (rtsp://)"},
    Wanted{AbilityKind::kContainer, "mpegts", "MPEG-TS streams"},
    Wanted{AbilityKind::kContainer, "mpjpeg", "MJPEG over HTTP"},
    Wanted{AbilityKind::kContainer, "v4l2", "capture devices (/dev/video0)"},
    Wanted{AbilityKind::kContainer, "mov", "MP4 and MOV films"},
    Wanted{AbilityKind::kContainer, "matroska", "Matroska films", true},
    Wanted{AbilityKind::kDecoder, "h264", "H.264 pictures", true},
    Wanted{AbilityKind::kDecoder, "hevc", "H.265 pictures"},
    Wanted{AbilityKind::kDecoder, "mjpeg", "MJPEG pictures"},
    Wanted{AbilityKind::kDecoder, "rawvideo", "raw pictures"},
    Wanted{AbilityKind::kDecoder, "vp9", "VP9 films"},
    Wanted{AbilityKind::kDecoder, "libdav1d", "AV1 films"},
    Wanted{AbilityKind::kDecoder, "aac", "AAC sound"},
    Wanted{AbilityKind::kEncoder, "libx264", "recording raw pictures"},
    Wanted{AbilityKind::kMuxer, "matroska", "recording streams", true},
};

bool has_protocol(const std::string& name) {
  void* place = nullptr;
  while (const char* one = avio_enum_protocols(&place, 0)) {
    if (name == one) return true;
  }
  return false;
}

bool is_there(const Wanted& wanted) {
  switch (wanted.kind) {
    case AbilityKind::kProtocol:
      return has_protocol(wanted.name);
    case AbilityKind::kContainer:
      return av_find_input_format(wanted.name) != nullptr;
    case AbilityKind::kDecoder:
      return avcodec_find_decoder_by_name(wanted.name) != nullptr;
    case AbilityKind::kEncoder:
      return avcodec_find_encoder_by_name(wanted.name) != nullptr;
    case AbilityKind::kMuxer:
      return av_guess_format(wanted.name, nullptr, nullptr) != nullptr;
  }
  return false;
}

}  // namespace

std::string ability_kind_name(AbilityKind kind) {
  switch (kind) {
    case AbilityKind::kProtocol:
      return "protocol";
    case AbilityKind::kContainer:
      return "container";
    case AbilityKind::kDecoder:
      return "decoder";
    case AbilityKind::kEncoder:
      return "encoder";
    case AbilityKind::kMuxer:
      return "muxer";
  }
  return "";
}

std::vector<FfmpegAbility> ffmpeg_abilities() {
  avdevice_register_all();
  std::vector<FfmpegAbility> all;
  for (const Wanted& one : kWanted) {
    all.push_back({one.kind, one.name, one.use, one.needed, is_there(one)});
  }
  return all;
}

std::string ffmpeg_version() { return av_version_info(); }

}  // namespace evenfeed
