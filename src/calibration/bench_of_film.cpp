// SPDX-License-Identifier: MIT
#include "calibration/bench_of_film.h"

#include "base/check.h"
#include "base/units.h"
#include "calibration/calibrate_still.h"
#include "calibration/calibration.h"
#include "calibration/table_ends.h"
#include "film/background_still.h"
#include "geometry/steady_view.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// Cuts of the lines in one direction.
struct Direction {
  int looked = 0, found = 0;
  void add(const LineSupport& line) {
    looked += line.looked;
    found += line.found;
  }
};

// At the table, whichever end the two call near.
double off_m(const CameraModel& bench,
             const CameraModel& found,
             const Surface& surface) {
  std::vector<Eigen::Vector3d> places_m;
  for (const double x : {-0.5, -0.25, 0.0, 0.25, 0.5}) {
    for (const double y : {-0.5, 0.0, 0.5}) {
      places_m.emplace_back(x * surface.length_m, y * surface.width_m, 0);
    }
  }
  const double as_named = shift_at_table_m(bench, found, places_m);
  const double turned = shift_at_table_m(bench, half_turn(found), places_m);
  if (!std::isfinite(as_named)) return turned;
  return std::isfinite(turned) ? std::min(as_named, turned) : as_named;
}

// What the watch can follow, at the table.
double followed_m(const CameraModel& camera, const BenchCheckOptions& options) {
  return options.reach_px * camera.eye_in_table_m().norm() /
         camera.lens.focal_px;
}

// Only cuts that agree on one camera count; the lens stays the bench's. From
// lines near by the search may still walk far, to a camera that stands farther
// off to make good a focal length that is too long.
bool agrees(const cv::Mat& still,
            const CameraModel& camera,
            const Surface& surface,
            const BenchCheckOptions& options) {
  const std::vector<SurfaceLine> lines = painted_lines(surface);
  const RefinedCamera fit =
      refine_camera(still,
                    camera,
                    surface,
                    lines,
                    {},
                    with_lens({camera.width_px, camera.height_px, camera.lens}),
                    options.reach_px);
  Direction along, across;
  for (std::size_t i = 0; i < fit.support.size(); ++i) {
    (lines[i].along_x ? along : across).add(fit.support[i]);
  }
  for (const Direction& direction : {along, across}) {
    if (direction.looked < options.least_cuts ||
        direction.found < options.least_share * direction.looked) {
      return false;
    }
  }
  return fit.solution.solved && off_m(camera, fit.solution.camera, surface) <
                                    followed_m(camera, options);
}

// The surface as the picture alone shows it.
std::optional<CameraModel> found_anew(const cv::Mat& still,
                                      const Surface& surface) {
  const CalibrationResult result = calibrate_still(still, surface, {});
  if (!result.done() && result.status != CalibrationStatus::kWhichEnd) {
    return std::nullopt;
  }
  return result.fit.solution.camera;
}

}  // namespace

void BenchCheckOptions::check() const {
  require_positive(reach_px, "reach_px");
  require_in_range(least_share, 0.1, 1, "least_share");
  require_in_range(least_cuts, 1, 1000, "least_cuts");
}

std::string why_not_of_film(const cv::Mat& still,
                            const CameraModel& camera,
                            const Surface& surface,
                            const BenchCheckOptions& options) {
  options.check();
  if (agrees(still, camera, surface, options)) return {};
  const auto found = found_anew(still, surface);
  if (!found) return {};
  // What the film shows must be where the bench does not have it.
  const double off = off_m(camera, *found, surface);
  if (off < followed_m(camera, options)) return {};
  return fmt::format(
      "the film shows the table {} from where the bench has it, and a focal "
      "length of about {:.0f} px where the bench has {:.0f} px",
      std::isfinite(off)
          ? fmt::format("{:.0f} mm (at the table)", mm_from_m(off))
          : "far",
      found->lens.focal_px,
      camera.lens.focal_px);
}

std::string why_not_of_film(const std::vector<Frame>& stills,
                            const CameraModel& camera,
                            const Surface& surface) {
  if (stills.empty()) return {};
  std::vector<cv::Mat> pictures;
  for (const Frame& still : stills) pictures.push_back(still.luma);
  return why_not_of_film(median_picture(pictures), camera, surface);
}

}  // namespace evenfeed
