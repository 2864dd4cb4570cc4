// SPDX-License-Identifier: MIT
#include "calibration/calibration_files.h"

#include "base/error.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

std::string lens_refusal(const std::string& text) {
  try {
    parse_lens(text, "lens.toml");
  } catch (const InputError& error) {
    return error.what();
  }
  return "";
}

}  // namespace

TEST_CASE("a lens file is read and fitted to pictures of the same shape") {
  const LensFile file = parse_lens(
      "width_px = 1920\nheight_px = 1080\nfocal_px = 1500.0\nk1 = -0.05\n"
      "k2 = 0.0\nexposure_ms = 2.0\n",
      "lens.toml");
  CHECK(file.exposure_s == doctest::Approx(0.002));
  CHECK_FALSE(file.readout_s);
  CHECK(file.lens.lens.centre_u_px == 959.5);
  const KnownLens half = lens_for_size(file.lens, 960, 540);
  CHECK(half.lens.focal_px == 750);
  CHECK(half.lens.centre_u_px == 479.5);
  CHECK_THROWS_AS(lens_for_size(file.lens, 1280, 960), InputError);
}

TEST_CASE("bad lens files are refused by key") {
  const std::string good =
      "width_px = 1920\nheight_px = 1080\nfocal_px = 1500.0\nk1 = -0.05\n";
  CHECK(lens_refusal(good).find("k2") != std::string::npos);
  CHECK(lens_refusal(good + "k2 = 0.0\nfocus = 1\n").find("focus") !=
        std::string::npos);
  CHECK(lens_refusal("width_px = 1920\nheight_px = 1080\nfocal_px = -1.0\n"
                     "k1 = 0.0\nk2 = 0.0\n")
            .find("focal_px") != std::string::npos);
}

TEST_CASE("the profile's limits are read, and wrong ones refused") {
  const auto parse = [](const std::string& text) {
    const TomlTable root = TomlTable::parse(text, "p.toml");
    return load_calibration_limits(root.table_or_empty("calibration"));
  };
  CHECK(parse("").max_residual_px == 1.5);
  CHECK(parse("[calibration]\nmax_residual_mm = 2.5\n").max_residual_m ==
        doctest::Approx(0.0025));
  CHECK_THROWS_AS(parse("[calibration]\nmax_residual_px = 0\n"), InputError);
  CHECK_THROWS_AS(parse("[calibration]\nmax_residual_px = nan\n"), InputError);
}
