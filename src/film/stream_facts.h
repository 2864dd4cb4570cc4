// SPDX-License-Identifier: MIT
// What a film's container says about its pictures, before any is decoded.
// Internal to film.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

extern "C" {
#include <libavcodec/avcodec.h>
}

struct AVFormatContext;
struct AVInputFormat;
struct AVStream;

namespace evenfeed {

/// How the stored picture is to be shown: mirrored left to right first, then
/// turned clockwise by 0, 90, 180 or 270 degrees.
struct ShownAs {
  bool mirrored = false;
  int turned_deg = 0;
};
[[nodiscard]] ShownAs shown_as(const AVStream& stream);

/// Other tracks of moving pictures than `index`; covers and previews of one
/// picture do not count.
[[nodiscard]] int other_picture_tracks(const AVFormatContext& input, int index);

/// A still picture, not a film.
[[nodiscard]] bool reads_pictures(const AVInputFormat& format);

/// Every stamp of stream `index`, without decoding; none when it cannot be
/// opened.
[[nodiscard]] std::vector<std::int64_t> all_stamps(const std::string& address,
                                                   int index);

/// Frames a second while filming, as Android's telephones and Sony's cameras
/// write it down; nullopt when the film does not tell. `film`: empty when it is
/// no file.
[[nodiscard]] std::optional<double> capture_rate_hz(
    const AVFormatContext& input,
    const AVStream& stream,
    const std::filesystem::path& film);

/// A camera is named as what took the film, and no program as what wrote the
/// file: its times are those of the camera. What cuts, joins or converts may
/// have shown 24 pictures a second as 25.
[[nodiscard]] bool written_by_camera(const AVFormatContext& input);

[[nodiscard]] bool is_interlaced(AVFieldOrder order);

/// 0: the film does not tell.
[[nodiscard]] double average_rate_hz(const AVStream& stream);

}  // namespace evenfeed
