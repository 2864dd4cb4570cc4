// SPDX-License-Identifier: MIT
#include "cli/cmd_calibrate.h"

#include "base/atomic_file.h"
#include "base/units.h"
#include "cli/profile_lookup.h"
#include "pipeline/profile.h"
#include "vision/calibrate_film.h"
#include "vision/calibration_files.h"
#include "vision/calibration_overlay.h"

#include <cmath>
#include <cstdio>

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <opencv2/imgcodecs.hpp>
#include <unistd.h>

namespace evenfeed {
namespace {

void write_picture(const std::string& file, const cv::Mat& picture) {
  PendingFile pending(file);
  bool written = false;
  try {
    written = cv::imwrite(pending.temporary().string(), picture);
  } catch (const cv::Exception&) {
    written = false;
  }
  if (!written) {
    throw InputError("--overlay " + file,
                     "the picture cannot be written",
                     "Name a .png file in a folder that exists and can be "
                     "written to");
  }
  pending.commit();
}

void print_result(const CalibrationResult& result) {
  const Bench& bench = result.bench;
  const Eigen::Vector3d eye = bench.camera.eye_in_table_m();
  fmt::print("residual     {:.3f} px, {:.2f} mm at the table, {} points\n",
             bench.residual_px,
             bench.residual_mm,
             bench.landmarks);
  fmt::print(
      "camera at    x {:.0f}, y {:.0f} mm, {:.0f} mm above the table "
      "(+- {:.0f}, {:.0f}, {:.0f})\n",
      mm_from_m(eye.x()),
      mm_from_m(eye.y()),
      mm_from_m(eye.z()),
      mm_from_m(result.eye_sd_m.x()),
      mm_from_m(result.eye_sd_m.y()),
      mm_from_m(result.eye_sd_m.z()));
  fmt::print(
      "lens         focal {:.1f} +- {:.1f} px, k1 {:.4f} +- {:.4f}, "
      "k2 {:.4f} +- {:.4f}\n",
      bench.camera.lens.focal_px,
      result.focal_sd_px,
      bench.camera.lens.k1,
      std::sqrt(bench.covariance(1, 1)),
      bench.camera.lens.k2,
      std::sqrt(bench.covariance(2, 2)));
  if (bench.half_table) fmt::print("view         the receiving half only\n");
}

void print_progress(double done) {
  fmt::print(stderr, "\rcalibrating {:3.0f} %", 100 * done);
  if (done >= 1) fmt::print(stderr, "\n");
  std::fflush(stderr);
}

}  // namespace

void CalibrateCommand::setup(CLI::App& app) {
  app.add_option("VIDEO", film_, "Film of the bench from a fixed camera")
      ->required();
  app.add_option("--profile", profile_, "Profile NAME or FILE: the surface")
      ->capture_default_str();
  app.add_option("--lens",
                 lens_,
                 "Known lens, TOML: width_px, height_px, focal_px, k1, k2");
  app.add_option(
      "--points", points_, "Landmarks marked by hand, CSV: name,u_px,v_px");
  app.add_option("--camera-height",
                 camera_height_mm_,
                 "Height of the lens above the table, mm, known to 10 mm")
      ->check(CLI::PositiveNumber);
  app.add_option("--launcher-end",
                 launcher_end_,
                 "Where the launcher stands in the picture; found from the "
                 "balls' flight when not given")
      ->check(CLI::IsMember({"left", "right", "top", "bottom"}));
  app.add_option("--exposure-ms",
                 exposure_ms_,
                 "Time the shutter is open, ms; goes into the bench")
      ->check(CLI::NonNegativeNumber);
  app.add_option("--readout-ms",
                 readout_ms_,
                 "Rolling shutter: first row to last row, ms; goes into the "
                 "bench")
      ->check(CLI::NonNegativeNumber);
  app.add_option("--out", out_, "Bench to write")->capture_default_str();
  app.add_option("--overlay",
                 overlay_,
                 "Picture (.png) of the solved lines over the film's still");
  app.add_flag("--quiet", quiet_, "Say nothing but errors");
}

int CalibrateCommand::run() {
  const Profile profile = load_profile(find_profile(profile_));
  CalibrationOptions options;
  options.limits = profile.calibration;
  options.launcher_end = parse_launcher_end(launcher_end_);
  if (camera_height_mm_ > 0) {
    options.camera_height_m = m_from_mm(camera_height_mm_);
  }
  if (!lens_.empty()) {
    const LensFile lens = load_lens(lens_);
    options.lens = lens.lens;
    options.exposure_s = lens.exposure_s.value_or(0);
    options.readout_s = lens.readout_s.value_or(0);
  }
  if (exposure_ms_ >= 0) options.exposure_s = s_from_ms(exposure_ms_);
  if (readout_ms_ >= 0) options.readout_s = s_from_ms(readout_ms_);
  if (!points_.empty()) options.marks = load_marks(points_, profile.surface);

  const bool show = !quiet_ && ::isatty(STDERR_FILENO) != 0;
  const FilmCalibration film =
      calibrate_film(film_,
                     profile.surface,
                     options,
                     show ? print_progress : CalibrationProgress{});
  if (!overlay_.empty()) {
    write_picture(overlay_,
                  draw_overlay(film.background, profile.surface, film.result));
  }
  if (!film.result.done()) {
    throw InputError(
        film_ + ": " + film.result.message +
        (overlay_.empty() ? ". (--overlay FILE.png shows what was seen)" : ""));
  }
  write_file_whole(out_, bench_text(film.result.bench));
  if (!quiet_) print_result(film.result);
  return kExitDone;
}

}  // namespace evenfeed
