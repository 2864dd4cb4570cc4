// SPDX-License-Identifier: MIT
// Which way the balls fly in the picture, from the film alone: small blobs
// that differ from the background are chained over three frames at constant
// velocity, and the fastest of the chained steps vote. The fastest, because a
// ball loses speed at every contact: what a sample sends back, what rolls and
// what hops is slower than what the launcher sends.
#pragma once

#include <optional>
#include <vector>

#include <Eigen/Core>
#include <opencv2/core/mat.hpp>

namespace evenfeed {

class FlightDirection {
 public:
  /// `background` is the film's still picture.
  explicit FlightDirection(const cv::Mat& background);
  /// The next frame of the film, in order.
  void add(const cv::Mat& luma, double t_s);
  /// Unit direction in the stored picture; nullopt while fewer than
  /// `least_steps` fast steps were seen or they disagree.
  std::optional<Eigen::Vector2d> direction(int least_steps = 12) const;

 private:
  struct Link {
    Eigen::Vector2d at_px;
    Eigen::Vector2d velocity_pxps;
  };
  std::vector<Eigen::Vector2d> blobs(const cv::Mat& small) const;

  cv::Mat background_;  // reduced
  double scale_ = 1;
  double last_t_s_ = 0;
  std::vector<Eigen::Vector2d> last_;
  std::vector<Link> links_;  // ends in the last frame
  std::vector<Eigen::Vector2d> steps_pxps_;
};

}  // namespace evenfeed
