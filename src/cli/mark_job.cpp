// SPDX-License-Identifier: MIT
#include "cli/mark_job.h"

#include "base/error.h"
#include "calibration/bright_enough.h"
#include "calibration/calibrate_film.h"
#include "calibration/calibrate_still.h"
#include "calibration/calibration_files.h"
#include "cli/job_files.h"
#include "pictures/jpeg.h"
#include "pipeline/profile.h"
#include "report/mark_page.h"

#include <algorithm>

namespace evenfeed {
namespace {

// Of a JPEG: lines as the film has them, at a fifth of what a PNG takes.
constexpr int kQuality = 92;

}  // namespace

MarkFiles mark_files(const std::filesystem::path& bench,
                     const std::filesystem::path& film) {
  const bool shown = is_standard_stream(bench);
  const std::filesystem::path folder =
      shown ? std::filesystem::path() : bench.parent_path();
  const std::string stem = (shown ? film : bench).stem().string();
  return {folder / (stem + "-mark.html"), folder / (stem + "-marks.csv")};
}

void write_mark_page(const MarkJob& job, const Profile& profile) {
  const cv::Mat still = calibration_still(job.film);
  const CalibrationOptions& options = job.options;
  if (options.marks_size) {
    check_marks_size(*options.marks_size, still.cols, still.rows);
  }
  MarkPageInput input;
  input.film = std::filesystem::path(job.film).filename().string();
  input.width_px = still.cols;
  input.height_px = still.rows;
  input.rotation_deg = VideoSource(job.film, job.video).info().rotation_deg;
  input.picture_jpeg = jpeg_of(
      turned_for_display(bright_enough(still), input.rotation_deg), kQuality);
  input.surface = profile.surface;
  if (options.lens) {
    input.lens = lens_for_size(*options.lens, still.cols, still.rows).lens;
  }
  for (const MarkedPoint& mark : options.marks) {
    input.marks.emplace_back(mark.name, mark.picture_px);
  }
  input.off_px = mark_off_limit_px(still.cols);
  input.marks_file = job.files.marks.filename().string();
  input.command = job.command;
  write_output(job.files.page, mark_page(input));
}

}  // namespace evenfeed
