// SPDX-License-Identifier: MIT
// calibrate --mark: the page on which a person marks points of the table.
#pragma once

#include "calibration/calibration.h"
#include "film/video_source.h"

#include <filesystem>
#include <string>
#include <vector>

namespace evenfeed {

struct Profile;

/// What is named after the bench that will come of the marks: beside it, or in
/// the current folder, after the film, when it goes to standard output.
struct MarkFiles {
  std::filesystem::path page;   ///< bench-mark.html
  std::filesystem::path marks;  ///< bench-marks.csv
};
[[nodiscard]] MarkFiles mark_files(const std::filesystem::path& bench,
                                   const std::filesystem::path& film);

struct MarkJob {
  std::string film;
  VideoOptions video;
  CalibrationOptions options;  ///< lens, and marks to begin with
  MarkFiles files;
  std::string command;  ///< with which to go on
};

/// Throws InputError when the film cannot be read or the page not be written.
void write_mark_page(const MarkJob& job, const Profile& profile);

}  // namespace evenfeed
