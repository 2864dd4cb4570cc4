// SPDX-License-Identifier: MIT
#include "vision/flight_direction.h"

#include <algorithm>
#include <cmath>

#include <opencv2/imgproc.hpp>

namespace evenfeed {
namespace {

constexpr double kWorkWidth_px = 640;
constexpr double kThreshold = 16;  // grey levels
constexpr int kSmallest_px = 5;    // area of a blob, reduced picture
constexpr int kLargest_px = 1200;
constexpr std::size_t kMostBlobs = 25;  // more is not a ball but a light
constexpr double kLongestStep = 0.3;    // of the picture's width
constexpr double kFast = 0.8;           // of the 90th percentile of speed
constexpr double kAgreement = 0.6;      // length of the mean unit vector

}  // namespace

FlightDirection::FlightDirection(const cv::Mat& background)
    : scale_(std::min(1.0, kWorkWidth_px / background.cols)) {
  cv::resize(background, background_, {}, scale_, scale_, cv::INTER_AREA);
}

std::vector<Eigen::Vector2d> FlightDirection::blobs(
    const cv::Mat& small) const {
  cv::Mat difference, labels, stats, centroids;
  cv::absdiff(small, background_, difference);
  const cv::Mat mask = difference > kThreshold;
  const int n =
      cv::connectedComponentsWithStats(mask, labels, stats, centroids);
  std::vector<Eigen::Vector2d> found;
  for (int i = 1; i < n; ++i) {
    const int area = stats.at<int>(i, cv::CC_STAT_AREA);
    if (area < kSmallest_px || area > kLargest_px) continue;
    found.emplace_back(centroids.at<double>(i, 0), centroids.at<double>(i, 1));
  }
  if (found.size() > kMostBlobs) found.clear();
  return found;
}

void FlightDirection::add(const cv::Mat& luma, double t_s) {
  cv::Mat small;
  cv::resize(luma, small, background_.size(), 0, 0, cv::INTER_AREA);
  const std::vector<Eigen::Vector2d> now = blobs(small);
  const double dt = t_s - last_t_s_;
  std::vector<Link> links;
  if (dt > 0) {
    for (const Eigen::Vector2d& p : now) {
      for (const Eigen::Vector2d& q : last_) {
        const double step = (p - q).norm();
        if (step < 1.5 || step > kLongestStep * background_.cols) continue;
        links.push_back({p, (p - q) / dt});
      }
      for (const Link& link : links_) {
        const Eigen::Vector2d step = link.velocity_pxps * dt;
        if ((p - link.at_px - step).norm() < 0.25 * step.norm() + 1) {
          steps_pxps_.push_back((p - link.at_px) / dt);
        }
      }
    }
  }
  links_ = std::move(links);
  last_ = now;
  last_t_s_ = t_s;
}

std::optional<Eigen::Vector2d> FlightDirection::direction(
    int least_steps) const {
  if (static_cast<int>(steps_pxps_.size()) < least_steps) return std::nullopt;
  std::vector<double> speeds;
  for (const auto& step : steps_pxps_) speeds.push_back(step.norm());
  const auto high = speeds.begin() + speeds.size() * 9 / 10;
  std::nth_element(speeds.begin(), high, speeds.end());
  Eigen::Vector2d sum = Eigen::Vector2d::Zero();
  int n = 0;
  for (const auto& step : steps_pxps_) {
    if (step.norm() < kFast * *high || step.norm() > 1.5 * *high) continue;
    sum += step.normalized();
    ++n;
  }
  if (n < std::max(4, least_steps / 3) || sum.norm() < kAgreement * n) {
    return std::nullopt;
  }
  return sum.normalized();
}

}  // namespace evenfeed
