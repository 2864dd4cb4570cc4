// SPDX-License-Identifier: MIT
#include "calibration/misfit_words.h"

#include "base/units.h"
#include "calibration/marked_camera.h"
#include "calibration/squeeze_check.h"

#include <cmath>
#include <utility>
#include <vector>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

// Cuts of a line that is looked for at all, and the share of them that would
// show it.
constexpr int kLeastLooked = 10;
constexpr double kUnseen = 0.5;

// As ffmpeg takes it; the shape of a screen when it is one.
std::string shape_words(double width_over_height) {
  constexpr double kSameShape = 0.03;
  for (const auto& [w, h] : {std::pair{16, 9}, {4, 3}, {9, 16}, {3, 4}}) {
    if (std::abs(std::log(width_over_height * h / w)) < kSameShape) {
      return fmt::format("{}:{}", w, h);
    }
  }
  return fmt::format("{:.0f}:1000", 1000 * width_over_height);
}

std::string worst_mark(const CalibrationResult& result) {
  std::string name;
  double worst = -1;
  for (const MarkedPoint& mark : result.marks) {
    const double off = mark_miss_px(result.fit.solution.camera, mark);
    if (off > worst) {
      worst = off;
      name = fmt::format("{} by {:.1f} px", mark.name, off);
    }
  }
  return name;
}

// Lines that are not where marks and other lines have them.
std::string unseen_words(const CalibrationResult& result) {
  std::vector<std::string> unseen;
  for (std::size_t i = 0; i < result.fit.support.size(); ++i) {
    const LineSupport& line = result.fit.support[i];
    if (line.looked < kLeastLooked || line.share() >= kUnseen) continue;
    unseen.push_back(result.lines[i].name);
  }
  if (unseen.empty()) return {};
  return fmt::format(
      "{} cannot be seen where they have it: the table is not flat, or not of "
      "the profile's size. Level it, and say --camera-height",
      fmt::join(unseen, " and "));
}

// What else may be the matter, of all that is seen; empty when nothing.
std::string if_marks_are_right(const cv::Mat& luma,
                               const CalibrationResult& result,
                               const CameraSolverOptions& solver) {
  CalibrationResult marks_alone = result;  // lines found may be others
  marks_alone.fit.cuts.clear();
  std::string words = squeeze_words(marks_alone, solver);
  if (words.empty()) words = squeeze_words(result, solver);
  const auto bent = find_bent_line(luma, result.fit);
  if (words.empty() && bent) words = bent_refusal(*bent);
  if (words.empty()) words = unseen_words(result);
  return words.empty() ? words : "; if all marks are right, " + words;
}

}  // namespace

std::string bent_words(const BentLine& bent) {
  return fmt::format(
      "the line {} lies up to {:.0f} mm beside where the others have it, on "
      "the {} half: the table's halves are not in one line",
      bent.name,
      mm_from_m(bent.off_m),
      bent.receiving_half ? "receiving" : "launcher's");
}

std::string bent_refusal(const BentLine& bent) {
  return bent_words(bent) +
         ". Put the halves into one line, or mark nothing but the receiving "
         "half by hand (--mark)";
}

std::string squeeze_words(const CalibrationResult& result,
                          const CameraSolverOptions& solver) {
  const Squeeze squeeze =
      find_squeeze(result.fit, result.lines, result.marks, solver);
  if (squeeze.factor == 1) return {};
  const CameraModel& camera = result.fit.solution.camera;
  const std::string shown =
      shape_words(camera.width_px * squeeze.factor / camera.height_px);
  return fmt::format(
      "the picture seems to be squeezed: with pixels about {:.1f} times as "
      "wide as high its {} fit to {:.2f} px, with square ones to {:.2f} px; "
      "places and speeds are then wrong. If it is, mark it so: ffmpeg -i FILM "
      "-c copy -aspect {} marked.mp4, or W:H as it should be shown",
      squeeze.factor,
      result.fit.cuts.empty() ? "marks" : "lines",
      squeeze.rms_px,
      squeeze.square_px,
      shown);
}

std::string misfit_words(const cv::Mat& luma,
                         const CalibrationResult& result,
                         const FitResidual& left,
                         const CameraSolverOptions& solver,
                         const CalibrationLimits& limits) {
  const std::string how_far = fmt::format(
      "the surface's lines fit badly: residual {:.2f} px ({:.2f} mm at the "
      "table), allowed {:.2f} px and {:.1f} mm, {:.0f} % of the line points "
      "agree. ",
      left.px,
      left.mm,
      left.allowed_px,
      mm_from_m(limits.max_residual_m),
      100 * result.fit.solution.inliers);
  if (result.marks.empty()) {
    return how_far +
           "Look at the overlay picture: if the drawn lines miss the table, "
           "mark points by hand (--mark); if the camera moved during the "
           "film, cut the film; if the table is not the profile's, choose "
           "another profile";
  }
  return how_far + "The worst mark is " + worst_mark(result) +
         ". Check its name and place" +
         if_marks_are_right(luma, result, solver);
}

}  // namespace evenfeed
