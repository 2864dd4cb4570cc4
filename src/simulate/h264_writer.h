// SPDX-License-Identifier: MIT
// H.264 in MP4 by libavcodec, with a time stamp per frame (1/90000 s).
#pragma once

#include "simulate/scene.h"
#include "simulate/yuv_picture.h"

#include <filesystem>
#include <memory>

namespace evenfeed {

class H264Writer {
 public:
  /// Throws InputError when the file cannot be made or no encoder is there.
  H264Writer(const std::filesystem::path& path,
             const SceneCamera& camera,
             const FilmOptions& film);
  ~H264Writer();
  void add(const YuvPicture& picture, double t_s);
  /// Writes what is still in the encoder and closes the file.
  void finish();

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace evenfeed
