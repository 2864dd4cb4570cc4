// SPDX-License-Identifier: MIT
#include "cli/calibration_args.h"

#include "base/atomic_file.h"
#include "base/units.h"
#include "calibration/calibration_files.h"
#include "calibration/calibration_overlay.h"
#include "calibration/marks_file.h"
#include "calibration/plausible_camera.h"
#include "cli/job_files.h"
#include "cli/progress_line.h"
#include "pipeline/profile.h"

#include <cmath>

#include <fmt/format.h>
#include <opencv2/imgcodecs.hpp>

namespace evenfeed {
namespace {

// By its ending, before a table is looked for.
void require_picture_name(const std::string& file) {
  if (file.empty() || cv::haveImageWriter(file)) return;
  throw UsageError("--overlay " + file +
                   ": allowed is the name of a picture, which ends in .png");
}

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

}  // namespace

void CalibrationArgs::setup(Arguments& args) {
  args.add_option("--lens",
                  lens_,
                  "Known lens, TOML: width_px, height_px, focal_px, k1, k2")
      .takes("FILE");
  args.add_option(
          "--points",
          points_,
          "Landmarks marked by hand (--mark shows a page for it), CSV: name, "
          "u_px, v_px")
      .takes("FILE");
  args.add_option("--camera-height",
                  camera_height_mm_,
                  "Height of the lens above the table, mm, known to 10 mm")
      .above_zero();
  args.add_option("--launcher-end",
                  launcher_end_,
                  "Where the launcher stands in the picture, left, right, top "
                  "or bottom; found from the balls' flight when not given")
      .one_of({"left", "right", "top", "bottom"});
  args.add_option("--exposure-ms",
                  exposure_ms_,
                  "Time the shutter is open, ms; 0 = an instant; not given = "
                  "not known, then found from the streaks")
      .zero_or_more();
  args.add_option("--readout-ms",
                  readout_ms_,
                  "Rolling shutter: first row to last row, ms; 0 = a global "
                  "shutter; not given = not known")
      .zero_or_more();
}

void CalibrationArgs::declare(JobFiles& files) const {
  files.reads("--lens", lens_);
  files.reads("--points", points_);
}

CalibrationOptions CalibrationArgs::options(const Profile& profile) const {
  CalibrationOptions options;
  options.limits = profile.calibration;
  options.launcher_end = parse_launcher_end(launcher_end_);
  if (camera_height_mm_ > 0) {
    options.camera_height_m = m_from_mm(camera_height_mm_);
  }
  if (!lens_.empty()) {
    const LensFile lens = load_lens(lens_);
    options.lens = lens.lens;
    options.exposure_s = lens.exposure_s;
    options.readout_s = lens.readout_s;
  }
  if (exposure_ms_) options.exposure_s = s_from_ms(*exposure_ms_);
  if (readout_ms_) options.readout_s = s_from_ms(*readout_ms_);
  if (!points_.empty()) {
    const MarksFile file = load_marks(points_, profile.surface);
    options.marks = file.marks;
    options.marks_size = file.size;
  }
  return options;
}

std::vector<std::string> CalibrationArgs::words() const {
  std::vector<std::string> words;
  const auto add = [&](const char* option, const std::string& value) {
    words.insert(words.end(), {option, value});
  };
  if (!lens_.empty()) add("--lens", lens_);
  if (camera_height_mm_ > 0) {
    add("--camera-height", fmt::format("{}", camera_height_mm_));
  }
  if (exposure_ms_) add("--exposure-ms", fmt::format("{}", *exposure_ms_));
  if (readout_ms_) add("--readout-ms", fmt::format("{}", *readout_ms_));
  return words;
}

FilmCalibration calibrate_or_refuse(const std::string& film,
                                    const Profile& profile,
                                    const CalibrationOptions& options,
                                    const OverlayFiles& overlay,
                                    const VideoOptions& video,
                                    ProgressLine& line) {
  require_picture_name(overlay.solved);
  require_picture_name(overlay.refused);
  FilmCalibration calibration = calibrate_film(
      film,
      profile.surface,
      options,
      [&](double done) { line.show(done, "calibrating"); },
      video);
  line.clear();
  const bool done = calibration.result.done();
  const std::string& picture = done ? overlay.solved : overlay.refused;
  if (!picture.empty()) {
    write_picture(
        picture,
        draw_overlay(
            calibration.background, profile.surface, calibration.result));
  }
  if (!done) {
    throw InputError(
        film + ": " + calibration.result.message +
        (picture.empty() ? ". (--overlay FILE.png shows what was seen)"
                         : fmt::format(". ({} shows what was seen)", picture)));
  }
  return calibration;
}

std::string bench_words(const Bench& bench) {
  const Eigen::Vector3d eye_mm = 1e3 * bench.camera.eye_in_table_m();
  const Eigen::Vector3d sd_mm =
      1e3 * eye_covariance_m2(bench.camera, bench.covariance)
                .diagonal()
                .cwiseMax(0)
                .cwiseSqrt();
  const auto sd = [&](int i) { return std::sqrt(bench.covariance(i, i)); };
  std::string text =
      fmt::format("residual     {:.3f} px, {:.2f} mm at the table, {} points\n",
                  bench.residual_px,
                  bench.residual_mm,
                  bench.landmarks);
  text += fmt::format(
      "camera at    x {:.0f}, y {:.0f} mm, {:.0f} mm above the table "
      "(+- {:.0f}, {:.0f}, {:.0f})\n",
      eye_mm.x(),
      eye_mm.y(),
      eye_mm.z(),
      sd_mm.x(),
      sd_mm.y(),
      sd_mm.z());
  const LensModel<double>& lens = bench.camera.lens;
  text += fmt::format(
      "lens         focal {:.1f} +- {:.1f} px, k1 {:.4f} +- {:.4f}, "
      "k2 {:.4f} +- {:.4f}\n",
      lens.focal_px,
      sd(0),
      lens.k1,
      sd(1),
      lens.k2,
      sd(2));
  if (bench.half_table) text += "view         the receiving half only\n";
  return text;
}

std::string explains_words(const CalibrationResult& result) {
  if (!result.score) return {};
  std::string text =
      fmt::format("explains     the picture by {}\n", result.score->words());
  if (result.margin_nats) {
    text += fmt::format(
        "             the next reading of its lines by {:.1f} nats less\n",
        *result.margin_nats);
  }
  return text;
}

}  // namespace evenfeed
