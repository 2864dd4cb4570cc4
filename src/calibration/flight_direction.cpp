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
constexpr double kHighest_m = 1.5;      // and above it
constexpr double kStill_px = 1.5;       // reduced; moved less: not flying
constexpr double kSlowest_mps = 1.5, kFastest_mps = 25;
constexpr double kSideways = 0.4;     // of the speed along the table
constexpr double kSurely = 1.5;       // sd of the speed along the table
constexpr double kBent = 0.2;         // of a step, from one to the next
constexpr double kSeen_px = 1;        // reduced: how well a blob is placed
constexpr double kAstray_px = 3;      // reduced: rms beside one flight
constexpr std::size_t kFewest = 4;    // pictures of one chain
constexpr std::size_t kLongest = 24;  // what is farther back had another drag
constexpr double kFast = 0.8;         // of the 90th percentile of speed
constexpr double kAgreement = 0.7;    // majority of the fast, as a balance

using Blob = FlightDirection::Blob;

bool near_any(const Blob& blob, const std::vector<Blob>& others) {
  return std::any_of(others.begin(), others.end(), [&](const Blob& other) {
    return (blob.at_px - other.at_px).norm() < kStill_px;
  });
}

bool may_be_over(const Surface& surface,
                 const CameraModel& camera,
                 const Eigen::Vector2d& seen_px) {
  constexpr int kHeights = 6;
  for (int i = 0; i < kHeights; ++i) {
    const auto at = camera.meet_plane(seen_px, kHighest_m * i / (kHeights - 1));
    if (at && surface.contains(at->head<2>(), kBeside_m)) return true;
  }
  return false;
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

}  // namespace

FlightDirection::FlightDirection(const cv::Mat& background,
                                 const CameraModel& camera,
                                 const Surface& surface)
    : scale_(std::min(1.0, kWorkWidth_px / background.cols)),
      camera_(camera),
      surface_(surface),
      halting_(kStill_px) {
  cv::resize(background, background_, {}, scale_, scale_, cv::INTER_AREA);
}

// Only those that may be over the table.
std::vector<Blob> FlightDirection::blobs(const cv::Mat& small) const {
  cv::Mat difference, labels, stats, centroids;
  cv::absdiff(at_level_of(background_, small), background_, difference);
  const cv::Mat mask = difference > kThreshold;
  const int n =
      cv::connectedComponentsWithStats(mask, labels, stats, centroids);
  std::vector<Blob> found;
  for (int i = 1; i < n; ++i) {
    const int area = stats.at<int>(i, cv::CC_STAT_AREA);
    if (area < kSmallest_px || area > kLargest_px) continue;
    const Eigen::Vector2d at_px{centroids.at<double>(i, 0),
                                centroids.at<double>(i, 1)};
    const Eigen::Vector2d full_px = (at_px.array() + 0.5) / scale_ - 0.5;
    if (may_be_over(surface_, camera_, full_px)) {
      found.push_back({at_px, camera_.ray_in_table(full_px)});
    }
  }
  if (found.size() > kMostBlobs) found.clear();
  return found;
}

void FlightDirection::add(const cv::Mat& luma, double t_s) {
  ++frames_;
  cv::Mat small;
  cv::resize(luma, small, background_.size(), 0, 0, cv::INTER_AREA);
  const std::vector<Blob> now = blobs(small);
  std::vector<Eigen::Vector2d> places_px;
  for (const Blob& blob : now) places_px.push_back(blob.at_px);
  halting_.add(places_px, t_s);
  const bool flies = std::any_of(now.begin(), now.end(), [&](const Blob& one) {
    return !near_any(one, last_);
  });
  // While nothing moves, no picture is known to repeat another.
  if (flies && !last_.empty()) frames_s_.push_back(t_s - last_t_s_);
  chain(now, t_s);
  last_ = now;
  last_t_s_ = t_s;
}

void FlightDirection::chain(const std::vector<Blob>& now, double t_s) {
  const double dt = t_s - last_t_s_;
  const double away_m = camera_.eye_in_table_m().norm();
  std::vector<Link> links;
  for (const Blob& to : now) {
    if (dt <= 0 || near_any(to, last_)) continue;
    for (const Blob& from : last_) {
      const Eigen::Vector2d step_px = to.at_px - from.at_px;
      // Across the line of sight, as far away as the table's middle.
      const double speed_mps = (to.ray - from.ray).norm() * away_m / dt;
      if (speed_mps > kFastest_mps || near_any(from, now)) continue;
      const Link* before = nullptr;
      for (const Link& link : links_) {
        const Eigen::Vector2d foretold_px = link.step_px * (dt / last_dt_s_);
        if (link.at_px == from.at_px &&
            (step_px - foretold_px).norm() <
                kBent * foretold_px.norm() + kSeen_px &&
            (before == nullptr || link.lines.size() > before->lines.size())) {
          before = &link;
        }
      }
      Link link{to.at_px, step_px, {{from.ray, last_t_s_}}};
      if (before != nullptr) link.lines = before->lines;
      link.lines.push_back({to.ray, t_s});
      if (link.lines.size() > kLongest) link.lines.erase(link.lines.begin());
      vote(link.lines);
      links.push_back(std::move(link));
    }
  }
  links_ = std::move(links);
  last_dt_s_ = dt;
}

void FlightDirection::vote(const std::vector<SightLine>& lines) {
  if (lines.size() < kFewest) return;
  const double pixel_rad = 1 / (camera_.lens.focal_px * scale_);
  const RoughFlight flight =
      rough_flight(camera_.eye_in_table_m(), lines, kSeen_px * pixel_rad);
  const double along_mps = std::abs(flight.velocity_mps.x());
  if (along_mps < kSlowest_mps || along_mps > kFastest_mps ||
      along_mps < kSurely * flight.s_along_mps ||
      std::abs(flight.velocity_mps.y()) > kSideways * along_mps ||
      flight.beside_mrad > 1e3 * kAstray_px * pixel_rad ||
      !surface_.contains(flight.at_m.head<2>(), kBeside_m)) {
    return;
  }
  steps_mps_.push_back(flight.velocity_mps.x());
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
  constexpr char kSlow[] = " (slow motion? say how slow: --slow 8)";
  if (frames_ == 1) return "it is a still picture, which shows no flight";
  if (frames_ < static_cast<int>(kFewest)) {
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
