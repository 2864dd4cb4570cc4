// SPDX-License-Identifier: MIT
// Finds a camera again that may have been moved a little, from one picture:
// cuts across the surface's lines at places that are chosen once. Only what
// changed against the first pictures counts, so whatever lies beside where the
// calibration has it (paint, glare, the lens) stays out of it.
//
//   offset_i - zero_i = n_i . d(picture of place i) / d(turn, shift) . (w, s)
//
// solved for the turn w and the shift s by least squares with Cauchy weights
// and a wide prior: over one plane the two can hardly be told apart, and need
// not be.
#pragma once

#include "calibration/line_edges.h"
#include "geometry/camera_model.h"
#include "geometry/surface.h"

#include <optional>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

struct LineSiteOptions {
  int most_sites = 48;
  double reach_px = 6;             ///< beyond it the picture is searched whole
  double wide_reach = 0.03;        ///< of that search, part of the width
  double turn_sd_rad = 0.02;       ///< how far somebody may turn it ...
  double shift_sd_m = 0.02;        ///< ... and push it, as beliefs
  double least_share = 0.6;        ///< of the sites must agree on the camera
  double least_scatter_px = 0.05;  ///< no cut is trusted more
  void check() const;
};

/// The camera as one picture shows it.
struct FoundCamera {
  CameraModel camera;
  double sigma_m = 0;  ///< of the picture of the table, at the table, rms
};

class LineSites {
 public:
  LineSites(const Surface& surface, const LineSiteOptions& options);

  /// Chooses the places where the lines are seen, with the camera as it is
  /// believed to stand. False when too few are seen to tell a move.
  bool choose(const cv::Mat& luma, const CameraModel& camera);
  /// What the lines are off by where the camera predicts them; NaN where
  /// nothing was found. One value per site.
  std::vector<double> offsets_px(const cv::Mat& luma,
                                 const CameraModel& camera) const;
  /// From now on these offsets are none. As constructed, all are 0.
  void set_zero(std::vector<double> offsets_px);

  /// The camera near `start`; nullopt when too few sites agree on one.
  std::optional<FoundCamera> find(const cv::Mat& luma,
                                  const CameraModel& start) const;
  /// The same farther from `start`, by a search of the whole picture: slow.
  std::optional<FoundCamera> find_far(const cv::Mat& luma,
                                      const CameraModel& start) const;
  /// The same from offsets; small moves only.
  std::optional<FoundCamera> solve(const CameraModel& start,
                                   const std::vector<double>& offsets_px) const;

  /// The sites on the table.
  const std::vector<Eigen::Vector3d>& places_m() const { return places_m_; }

 private:
  struct Site {
    int line = 0;
    double along = 0;
  };
  /// Derivatives of a site's offset by turn and shift.
  std::optional<Eigen::Matrix<double, 6, 1>> slope(const CameraModel& camera,
                                                   const Site& site) const;

  Surface surface_;
  LineSiteOptions options_;
  std::vector<SurfaceLine> lines_;
  LineSearch search_;
  std::vector<Site> sites_;
  std::vector<Eigen::Vector3d> places_m_;
  std::vector<double> zero_px_;
};

}  // namespace evenfeed
