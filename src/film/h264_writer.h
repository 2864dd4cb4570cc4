// SPDX-License-Identifier: MIT
// H.264 in MP4 by libavcodec, with a time stamp per frame (1/90000 s), and a
// sound track copied from another film if there is one.
#pragma once

#include "film/colour_code.h"
#include "film/yuv_picture.h"

#include <filesystem>
#include <memory>
#include <string>

namespace evenfeed {

struct H264Options {
  int width_px = 0;  ///< even, as the height
  int height_px = 0;
  double rate_hz = 0;  ///< on average
  double crf = 20;     ///< constant rate factor, used when bitrate is 0
  double bitrate_mbps = 0;
  double keyframe_s = 1;
  ColourCode colours;
  /// The camera that the file is to name as its maker; empty: none.
  std::string camera;
  void check() const;
};

class SoundTrack;

class H264Writer {
 public:
  /// Throws InputError when the file cannot be made or no encoder is there.
  /// `sound`, if there is one, lives as long as this.
  H264Writer(const std::filesystem::path& path,
             const H264Options& options,
             SoundTrack* sound = nullptr);
  ~H264Writer();
  /// Throws InputError when it cannot be written.
  void add(const YuvPicture& picture, double t_s);
  /// Writes what is still in the encoder, the sound and the end. Throws
  /// InputError when it cannot be written; without it the file is no film.
  void finish();

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace evenfeed
