// SPDX-License-Identifier: MIT
// A row of samples as AAC in MP4, by libavcodec.
#pragma once

#include <filesystem>
#include <vector>

namespace evenfeed {

struct AacOptions {
  int rate_hz = 48000;
  double bitrate_kbps = 128;
  void check() const;
};

/// One channel, -1 to 1. Throws InputError when it cannot be written.
void write_aac(const std::filesystem::path& path,
               const std::vector<float>& samples,
               const AacOptions& options);

}  // namespace evenfeed
