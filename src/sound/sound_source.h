// SPDX-License-Identifier: MIT
// A film's sound as one row of samples beside the times of its pictures.
//
// Any codec, rate and number of channels that FFmpeg decodes; channels are
// averaged. Start offsets, edit lists and a coder's priming samples are the
// container's to tell and FFmpeg's to apply (stamps of frames after the skip).
// Samples are counted on from the first stamp, and the count follows the stamps
// slowly: a coarse clock (1 ms in Matroska) is averaged out, a sound card that
// runs off is followed, and a jump is a gap.
#pragma once

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

struct SoundBlock {
  double t_s = 0;  ///< of the first sample, after the film's first picture
  double rate_hz = 0;
  bool continues = false;      ///< straight from the block before
  std::vector<float> samples;  ///< -1 to 1 at full scale
};

class SoundSource {
 public:
  explicit SoundSource(const std::filesystem::path& film);
  ~SoundSource();

  /// Why there is nothing to hear ("the film has no sound"); empty when there
  /// is.
  const std::string& why_silent() const;
  /// The next few hundredths of a second; nullopt at the end. Damaged packets
  /// are gaps.
  std::optional<SoundBlock> next();

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace evenfeed
