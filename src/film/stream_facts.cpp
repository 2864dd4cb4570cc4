// SPDX-License-Identifier: MIT
#include "film/stream_facts.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <iterator>
#include <string_view>

extern "C" {
#include <libavformat/avformat.h>
#include <libavutil/display.h>
}

namespace evenfeed {

// The display matrix turns anticlockwise by its angle to show the picture
// upright (libavutil/display.h); cameras only ever store quarter turns. A
// matrix that mirrors has a negative determinant: the mirror is taken off it,
// x' = a x + c y, y' = b x + d y with x negated, and what is left is a turn.
ShownAs shown_as(const AVStream& stream) {
  ShownAs shown;
  const std::uint8_t* data =
      av_stream_get_side_data(&stream, AV_PKT_DATA_DISPLAYMATRIX, nullptr);
  if (data == nullptr) return shown;
  std::array<std::int32_t, 9> matrix{};
  std::memcpy(matrix.data(), data, sizeof matrix);
  const auto part = [&](std::size_t i) {
    return static_cast<double>(matrix.at(i));
  };
  shown.mirrored = part(0) * part(4) - part(1) * part(3) < 0;
  if (shown.mirrored) {
    for (const std::size_t i : {0U, 1U}) {
      matrix.at(i) = static_cast<std::int32_t>(
          std::clamp(-part(i), -2147483647.0, 2147483647.0));
    }
  }
  const double anticlockwise_deg = av_display_rotation_get(matrix.data());
  if (!std::isfinite(anticlockwise_deg)) return shown;
  const int turns = static_cast<int>(std::lround(-anticlockwise_deg / 90));
  shown.turned_deg = ((turns % 4) + 4) % 4 * 90;
  return shown;
}

int other_picture_tracks(const AVFormatContext& input, int index) {
  int count = 0;
  for (unsigned i = 0; i < input.nb_streams; ++i) {
    const AVStream& other = *input.streams[i];
    count += static_cast<int>(i) != index &&
             other.codecpar->codec_type == AVMEDIA_TYPE_VIDEO &&
             (other.disposition & AV_DISPOSITION_ATTACHED_PIC) == 0 &&
             other.nb_frames != 1;
  }
  return count;
}

// Pictures have readers of their own: "image2", "png_pipe", "jpeg_pipe".
bool reads_pictures(const AVInputFormat& format) {
  const std::string_view name = format.name;
  return name.starts_with("image2") || name.ends_with("_pipe");
}

// Every stamp of the stream, without decoding.
std::vector<std::int64_t> all_stamps(const std::string& address, int index) {
  std::vector<std::int64_t> stamps;
  AVFormatContext* input = nullptr;
  if (avformat_open_input(&input, address.c_str(), nullptr, nullptr) < 0) {
    return stamps;
  }
  AVPacket* packet = av_packet_alloc();
  while (av_read_frame(input, packet) >= 0) {
    if (packet->stream_index == index && packet->pts != AV_NOPTS_VALUE) {
      stamps.push_back(packet->pts);
    }
    av_packet_unref(packet);
  }
  av_packet_free(&packet);
  avformat_close_input(&input);
  return stamps;
}

namespace {

std::optional<double> rate_in(const char* text) {
  char* end = nullptr;
  const double rate_hz = std::strtod(text, &end);
  if (end == text || !(rate_hz >= 1 && rate_hz <= 1e5)) return std::nullopt;
  return rate_hz;
}

// Sony's cameras put a page of XML at the film's end:
// <VideoFrame videoCodec="..." captureFps="119.88p" formatFps="29.97p"/>
std::optional<double> rate_in_xml(const std::filesystem::path& film) {
  constexpr std::streamoff kSearched = 1 << 18;
  constexpr std::string_view kKey = "captureFps=\"";
  std::ifstream in(film, std::ios::binary);
  in.seekg(0, std::ios::end);
  const std::streamoff size = in.tellg();
  if (!in || size < 0) return std::nullopt;
  in.seekg(std::max<std::streamoff>(0, size - kSearched));
  const std::string bytes{std::istreambuf_iterator<char>(in), {}};
  const auto at = bytes.find(kKey);
  if (at == std::string::npos) return std::nullopt;
  return rate_in(bytes.c_str() + at + kKey.size());
}

}  // namespace

// Apple's slow motion keeps true stamps.
std::optional<double> capture_rate_hz(const AVFormatContext& input,
                                      const AVStream& stream,
                                      const std::filesystem::path& film) {
  for (const AVDictionary* words : {input.metadata, stream.metadata}) {
    const AVDictionaryEntry* entry =
        av_dict_get(words, "com.android.capture.fps", nullptr, 0);
    if (entry == nullptr) continue;
    if (const auto rate_hz = rate_in(entry->value)) return rate_hz;
  }
  return film.empty() ? std::nullopt : rate_in_xml(film);
}

// By the keys of QuickTime's metadata (Apple, "QuickTime File Format",
// metadata keys; the older ones as libavformat calls them), Android's, and the
// firmware that action cameras write. FFmpeg's library signs what it writes.
bool written_by_camera(const AVFormatContext& input) {
  constexpr const char* kCamera[] = {"com.apple.quicktime.make",
                                     "com.apple.quicktime.model",
                                     "com.android.version",
                                     "com.android.manufacturer",
                                     "com.android.model",
                                     "make",
                                     "model",
                                     "firmware"};
  const AVDictionaryEntry* writer =
      av_dict_get(input.metadata, "encoder", nullptr, 0);
  if (writer != nullptr && std::string_view(writer->value).starts_with("Lav")) {
    return false;
  }
  return std::any_of(std::begin(kCamera), std::end(kCamera), [&](auto key) {
    return av_dict_get(input.metadata, key, nullptr, 0) != nullptr;
  });
}

bool is_interlaced(AVFieldOrder order) {
  return order == AV_FIELD_TT || order == AV_FIELD_BB || order == AV_FIELD_TB ||
         order == AV_FIELD_BT;
}

double average_rate_hz(const AVStream& stream) {
  for (const AVRational rate : {stream.avg_frame_rate, stream.r_frame_rate}) {
    if (rate.num > 0 && rate.den > 0) return av_q2d(rate);
  }
  return 0;
}

}  // namespace evenfeed
