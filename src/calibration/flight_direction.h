// SPDX-License-Identifier: MIT
// Which way the balls fly along the table, from the film alone: small blobs
// that differ from the background are chained over four pictures and more of
// nearly constant velocity in the picture, each chain is taken for a flight in
// space, and the fastest along the table vote. The fastest, because a ball
// loses speed at every contact: what a sample sends back, what rolls and what
// hops is slower than what the launcher sends.
#pragma once

#include "calibration/rough_flight.h"
#include "geometry/camera_model.h"
#include "geometry/halting_balls.h"
#include "geometry/surface.h"

#include <optional>
#include <string>
#include <vector>

#include <Eigen/Core>
#include <opencv2/core/mat.hpp>

namespace evenfeed {

class FlightDirection {
 public:
  static constexpr int kLeastSteps = 12;
  struct Blob {
    Eigen::Vector2d at_px;  ///< in the reduced picture
    Eigen::Vector3d ray;    ///< its line of sight, in the table frame
  };

  /// `background` is the film's still picture, `camera` solved for it.
  FlightDirection(const cv::Mat& background,
                  const CameraModel& camera,
                  const Surface& surface);
  /// The next frame of the film, in order.
  void add(const cv::Mat& luma, double t_s);
  /// +1 when the balls fly towards larger x, -1 towards smaller; nullopt
  /// while fewer than `least_steps` steps were seen or the fast ones disagree.
  std::optional<double> along_x(int least_steps = kLeastSteps) const;
  /// Why along_x() has no answer, as words for a message.
  [[nodiscard]] std::string why_open() const;
  /// What is seen of pictures that were not taken but made when the film was
  /// saved at another rate; empty when nothing is.
  [[nodiscard]] std::string saved_again() const;

 private:
  std::string uneven_words() const;

  struct Link {
    Eigen::Vector2d at_px, step_px;
    std::vector<SightLine> lines;  ///< of the chain that ends here
  };
  std::vector<Blob> blobs(const cv::Mat& small) const;
  void chain(const std::vector<Blob>& now, double t_s);
  void vote(const std::vector<SightLine>& lines);

  cv::Mat background_;  // reduced
  double scale_ = 1;
  CameraModel camera_;
  Surface surface_;
  double last_t_s_ = 0;
  double last_dt_s_ = 0;  // to that frame from the one before
  HaltingBalls halting_;
  std::vector<double> frames_s_;  // from each to the next, of balls
  int frames_ = 0;
  std::vector<Blob> last_;
  std::vector<Link> links_;        // ends in the last frame
  std::vector<double> steps_mps_;  // along x, of chained steps
};

}  // namespace evenfeed
