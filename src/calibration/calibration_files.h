// SPDX-License-Identifier: MIT
// A lens measured elsewhere, as a file.
#pragma once

#include "calibration/calibration.h"

#include <filesystem>
#include <optional>
#include <string>

namespace evenfeed {

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
