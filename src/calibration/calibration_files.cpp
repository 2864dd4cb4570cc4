// SPDX-License-Identifier: MIT
#include "calibration/calibration_files.h"

#include "base/atomic_file.h"
#include "base/check.h"
#include "base/units.h"

#include <cmath>

#include <fmt/format.h>

namespace evenfeed {

LensFile parse_lens(const std::string& text, const std::string& name) {
  const TomlTable root = TomlTable::parse(text, name);
  LensFile file;
  KnownLens& known = file.lens;
  known.width_px = root.integer("width_px");
  known.height_px = root.integer("height_px");
  known.lens.focal_px = root.number("focal_px");
  known.lens.k1 = root.number("k1");
  known.lens.k2 = root.number("k2");
  known.lens.centre_u_px = (known.width_px - 1.0) / 2;
  known.lens.centre_v_px = (known.height_px - 1.0) / 2;
  if (root.has("centre_px")) {
    const auto centre = root.numbers("centre_px", 2);
    known.lens.centre_u_px = centre[0];
    known.lens.centre_v_px = centre[1];
  }
  if (root.has("focal_sd_px")) {
    known.focal_sd = root.number("focal_sd_px") / known.lens.focal_px;
  }
  known.k1_sd = root.number("k1_sd", known.k1_sd);
  known.k2_sd = root.number("k2_sd", known.k2_sd);
  if (root.has("exposure_ms")) {
    file.exposure_s = s_from_ms(root.number("exposure_ms"));
  }
  if (root.has("readout_ms")) {
    file.readout_s = s_from_ms(root.number("readout_ms"));
  }
  root.refuse_unknown();
  try {
    CameraModel camera;
    camera.width_px = known.width_px;
    camera.height_px = known.height_px;
    camera.lens = known.lens;
    camera.exposure_s = file.exposure_s;
    camera.readout_s = file.readout_s;
    camera.check();
    require_positive(known.focal_sd, "focal_sd_px");
    require_positive(known.k1_sd, "k1_sd");
    require_positive(known.k2_sd, "k2_sd");
  } catch (const UsageError& error) {
    throw InputError(name, error.what(), "Change the value in this file");
  }
  return file;
}

LensFile load_lens(const std::filesystem::path& file) {
  return parse_lens(read_file(file), file.string());
}

KnownLens lens_for_size(const KnownLens& lens, int width_px, int height_px) {
  const double scale = double(width_px) / lens.width_px;
  if (std::abs(scale * lens.height_px / height_px - 1) > 0.01) {
    throw InputError(
        "--lens",
        fmt::format("the lens was measured on {} x {} pictures, the film has "
                    "{} x {}",
                    lens.width_px,
                    lens.height_px,
                    width_px,
                    height_px),
        "Use a lens file for pictures of the film's shape");
  }
  KnownLens result = lens;
  result.width_px = width_px;
  result.height_px = height_px;
  result.lens.focal_px *= scale;
  result.lens.centre_u_px = (lens.lens.centre_u_px + 0.5) * scale - 0.5;
  result.lens.centre_v_px = (lens.lens.centre_v_px + 0.5) * scale - 0.5;
  return result;
}

}  // namespace evenfeed
