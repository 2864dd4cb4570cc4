// SPDX-License-Identifier: MIT
#include "calibration/flight_direction.h"

#include "geometry/halting_words.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <opencv2/imgproc.hpp>

namespace evenfeed {
namespace {

constexpr double kWorkWidth_px = 640;
constexpr double kThreshold = 12;  // grey levels
constexpr int kSmallest_px = 6;    // area of a blob, reduced picture
constexpr int kLargest_px = 1200;
constexpr std::size_t kMostBlobs = 40;  // more is not balls but the light
constexpr double kBeside_m = 0.4;       // looked at around the table
constexpr double kStill_m = 0.01;       // moved less: not flying
constexpr double kSlowest_mps = 1.5, kFastest_mps = 25;
constexpr double kSideways = 0.4;   // of the speed along the table
constexpr double kFast = 0.8;       // of the 90th percentile of speed
constexpr double kAgreement = 0.7;  // majority of the fast, as a balance

bool near_any(const Eigen::Vector2d& p,
              const std::vector<Eigen::Vector2d>& others) {
  return std::any_of(others.begin(), others.end(), [&](const auto& q) {
    return (p - q).norm() < kStill_m;
  });
}

// `picture` brought to the brightness of `reference`, row by row: mains
// flicker runs down the rows of a rolling shutter.
cv::Mat at_level_of(const cv::Mat& reference, const cv::Mat& picture) {
  cv::Mat wanted, present, gain, result;
  cv::reduce(reference, wanted, 1, cv::REDUCE_AVG, CV_32F);
  cv::reduce(picture, present, 1, cv::REDUCE_AVG, CV_32F);
  gain = wanted / cv::max(present, 1.0);
  cv::blur(gain, gain, {1, 9});
  picture.copyTo(result);
  for (int v = 0; v < result.rows; ++v) {
    cv::Mat row = result.row(v);
    row.convertTo(row, CV_8U, std::clamp(gain.at<float>(v), 0.5F, 2.0F));
  }
  return result;
}

bool could_fly(const Eigen::Vector2d& velocity_mps) {
  const double along = std::abs(velocity_mps.x());
  return along > kSlowest_mps && along < kFastest_mps &&
         std::abs(velocity_mps.y()) < kSideways * along;
}

}  // namespace

FlightDirection::FlightDirection(const cv::Mat& background,
                                 const CameraModel& camera,
                                 const Surface& surface)
    : scale_(std::min(1.0, kWorkWidth_px / background.cols)),
      camera_(camera),
      surface_(surface),
      halting_(kStill_m) {
  cv::resize(background, background_, {}, scale_, scale_, cv::INTER_AREA);
}

// On the table's plane, in metres; only those near the table.
std::vector<Eigen::Vector2d> FlightDirection::blobs(
    const cv::Mat& small) const {
  cv::Mat difference, labels, stats, centroids;
  cv::absdiff(at_level_of(background_, small), background_, difference);
  const cv::Mat mask = difference > kThreshold;
  const int n =
      cv::connectedComponentsWithStats(mask, labels, stats, centroids);
  std::vector<Eigen::Vector2d> found;
  for (int i = 1; i < n; ++i) {
    const int area = stats.at<int>(i, cv::CC_STAT_AREA);
    if (area < kSmallest_px || area > kLargest_px) continue;
    const Eigen::Vector2d full{
        (centroids.at<double>(i, 0) + 0.5) / scale_ - 0.5,
        (centroids.at<double>(i, 1) + 0.5) / scale_ - 0.5};
    const auto at = camera_.meet_plane(full, 0);
    if (at && surface_.contains(at->head<2>(), kBeside_m)) {
      found.push_back(at->head<2>());
    }
  }
  if (found.size() > kMostBlobs) found.clear();
  return found;
}

void FlightDirection::add(const cv::Mat& luma, double t_s) {
  ++frames_;
  cv::Mat small;
  cv::resize(luma, small, background_.size(), 0, 0, cv::INTER_AREA);
  const std::vector<Eigen::Vector2d> now = blobs(small);
  const double dt = t_s - last_t_s_;
  halting_.add(now, t_s);
  const bool flies =
      std::any_of(now.begin(), now.end(), [&](const Eigen::Vector2d& p) {
        return !near_any(p, last_m_);
      });
  // While nothing moves, no picture is known to repeat another.
  if (flies && !last_m_.empty()) frames_s_.push_back(dt);
  std::vector<Link> links;
  for (const Eigen::Vector2d& p : now) {
    if (dt <= 0 || near_any(p, last_m_)) continue;
    for (const Eigen::Vector2d& q : last_m_) {
      const Eigen::Vector2d velocity = (p - q) / dt;
      if (!could_fly(velocity) || near_any(q, now)) continue;
      int before = 0;
      for (const Link& link : links_) {
        const Eigen::Vector2d step = link.velocity_mps * dt;
        if (link.at_m == q &&
            (p - q - step).norm() < 0.15 * step.norm() + 0.004) {
          before = std::max(before, link.steps);
        }
      }
      links.push_back({p, velocity, before + 1});
      if (before >= 2) steps_mps_.push_back(velocity.x());
    }
  }
  links_ = std::move(links);
  last_m_ = now;
  last_t_s_ = t_s;
}

std::optional<double> FlightDirection::along_x(int least_steps) const {
  if (static_cast<int>(steps_mps_.size()) < std::max(1, least_steps)) {
    return std::nullopt;
  }
  std::vector<double> speeds;
  for (const double step : steps_mps_) speeds.push_back(std::abs(step));
  const auto high = speeds.begin() + speeds.size() * 9 / 10;
  std::nth_element(speeds.begin(), high, speeds.end());
  int balance = 0, votes = 0;
  for (const double step : steps_mps_) {
    if (std::abs(step) < kFast * *high) continue;
    balance += step > 0 ? 1 : -1;
    ++votes;
  }
  if (votes < least_steps / 3 || std::abs(balance) < kAgreement * votes) {
    return std::nullopt;
  }
  return balance > 0 ? 1.0 : -1.0;
}

std::string FlightDirection::saved_again() const {
  if (halting_.many()) return kHaltingWords;
  const std::string uneven = uneven_words();
  if (!uneven.empty()) return uneven;
  return halting_.mistimed() ? kMistimedWords : "";
}

std::string FlightDirection::uneven_words() const {
  constexpr std::size_t kEnough = 20;
  constexpr double kUneven = 0.2;
  if (frames_s_.size() < kEnough) return "";
  std::vector<double> steps_s = frames_s_;
  std::sort(steps_s.begin(), steps_s.end());
  const double low_s = steps_s[steps_s.size() / 10];
  const double high_s = steps_s[steps_s.size() * 8 / 10];
  if (high_s - low_s < kUneven * high_s) return "";
  return fmt::format(
      "its pictures are {:.1f} to {:.1f} ms apart, as in a film that was saved "
      "again at another rate (three and two times each)",
      1e3 * low_s,
      1e3 * high_s);
}

std::string FlightDirection::why_open() const {
  constexpr int kFewestFrames = 4;  // of one chain
  constexpr char kSlow[] = " (slow motion? say how slow: --slow 8)";
  if (frames_ == 1) return "it is a still picture, which shows no flight";
  if (frames_ < kFewestFrames) {
    return fmt::format("the film has {} frames, which show no flight", frames_);
  }
  const std::size_t steps = steps_mps_.size();
  if (steps == 0) {
    return fmt::format(
        "no ball is seen flying over the table in {} frames{}", frames_, kSlow);
  }
  if (steps < kLeastSteps) {
    return fmt::format(
        "in {} frames only {} steps of flying balls are seen, {} are needed{}",
        frames_,
        steps,
        kLeastSteps,
        kSlow);
  }
  return "balls are seen flying both ways (so they seem to where pictures were "
         "blended when the film was saved again: give it as it was taken)";
}

}  // namespace evenfeed
