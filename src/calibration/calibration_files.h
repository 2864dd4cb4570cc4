// SPDX-License-Identifier: MIT
// The files calibration reads: points marked by hand, a lens measured
// elsewhere, and its part of the profile.
#pragma once

#include "calibration/calibration.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

/// CSV with columns name, u_px, v_px and optionally s_px (default 1): where a
/// named landmark of the surface is in the picture, pixel centres at integers.
/// Throws InputError for an unknown name (listing the allowed ones), a name
/// that stands twice, or a point far outside any picture.
std::vector<MarkedPoint> load_marks(const std::filesystem::path& file,
                                    const Surface& surface);
std::vector<MarkedPoint> parse_marks(const std::string& text,
                                     const std::string& name,
                                     const Surface& surface);

/// What calibration needs of a profile: [surface] and [calibration].
struct CalibrationProfile {
  Surface surface;
  CalibrationLimits limits;
};
CalibrationProfile load_calibration_profile(const std::filesystem::path& file);

struct LensFile {
  KnownLens lens;
  std::optional<double> exposure_s, readout_s;
};

/// TOML: width_px, height_px, focal_px, k1, k2; optional centre_px (default
/// the picture's centre), exposure_ms, readout_ms, and how well they are known
/// focal_sd_px, k1_sd, k2_sd.
LensFile load_lens(const std::filesystem::path& file);
LensFile parse_lens(const std::string& text, const std::string& name);

/// The lens for pictures of another size of the same shape. Throws InputError
/// when the shapes differ by more than 1 %.
KnownLens lens_for_size(const KnownLens& lens, int width_px, int height_px);

}  // namespace evenfeed
