// SPDX-License-Identifier: MIT
#include "pictures/trial_drawing.h"

#include "base/check.h"

#include <algorithm>
#include <cmath>

#include <opencv2/imgproc.hpp>

namespace evenfeed {
namespace {

constexpr double kBallRadius_m = 0.02;  // of what is cut out, roughly
constexpr double kWhole = 1.4;          // radii around a ball that are its own
constexpr double kFaded = 2.2;          // and to where that fades

// 1 at the ball, 0 far from it.
double nearness(const std::optional<BallPlace>& ball, int u, int v) {
  if (!ball) return 0;
  const double far_px = (Eigen::Vector2d(u, v) - ball->at_px).norm();
  const double whole_px = kWhole * ball->radius_px + 1;
  const double faded_px = kFaded * ball->radius_px + 2;
  return std::clamp((faded_px - far_px) / (faded_px - whole_px), 0., 1.);
}

cv::Rect around(const BallPlace& ball, const cv::Size& size) {
  const double r = kFaded * ball.radius_px + 3;
  const cv::Rect box(static_cast<int>(std::floor(ball.at_px.x() - r)),
                     static_cast<int>(std::floor(ball.at_px.y() - r)),
                     static_cast<int>(std::ceil(2 * r)) + 1,
                     static_cast<int>(std::ceil(2 * r)) + 1);
  return box & cv::Rect({}, size);
}

void show_ball(const std::array<GhostLayer, 2>& layers,
               const cv::Rect& box,
               cv::Mat& picture) {
  for (int v = box.y; v < box.br().y; ++v) {
    const cv::Vec3b* first = layers[0].picture.ptr<cv::Vec3b>(v);
    const cv::Vec3b* second = layers[1].picture.ptr<cv::Vec3b>(v);
    cv::Vec3b* to = picture.ptr<cv::Vec3b>(v);
    for (int u = box.x; u < box.br().x; ++u) {
      const double share = 0.5 + 0.5 * (nearness(layers[0].ball, u, v) -
                                        nearness(layers[1].ball, u, v));
      for (int c = 0; c < 3; ++c) {
        to[u][c] = cv::saturate_cast<uchar>(share * first[u][c] +
                                            (1 - share) * second[u][c]);
      }
    }
  }
}

}  // namespace

const std::array<TrialLook, 2>& trial_looks() {
  static const std::array<TrialLook, 2> looks{
      TrialLook{cv::Scalar(70, 225, 255), false, BallForm::kRing, {-1.7, 0.5}},
      TrialLook{
          cv::Scalar(235, 120, 255), true, BallForm::kDiamond, {1.7, 0.5}}};
  return looks;
}

BallPlace ball_place(const FlownPoint& point,
                     const CameraModel& camera,
                     const PictureView& view) {
  const double depth_m = (camera.camera_from_table * point.x_in_table_m).z();
  const double radius_px =
      camera.lens.focal_px * kBallRadius_m / std::max(depth_m, 0.1);
  return {view(point.film_px), view.scale * std::max(1.5, radius_px)};
}

void draw_trial(cv::Mat& picture,
                const std::vector<FlownPoint>& path,
                const PictureView& view,
                const TrialLook& look,
                const std::string& name) {
  const double width_px = std::max(1., picture.rows / 500.);
  const double radius_px = std::max(7., picture.rows / 80.);
  for (const Leg leg : {Leg::kIn, Leg::kOut, Leg::kBack}) {
    std::vector<Eigen::Vector2d> places;
    for (const FlownPoint& point : path) {
      if (point.leg == leg) places.push_back(view(point.film_px));
    }
    if (look.dashed) {
      draw_dashes(picture, places, look.colour, width_px);
    } else {
      draw_way(picture, places, look.colour, width_px);
    }
  }
  for (const FlownPoint& point : path) {
    const Eigen::Vector2d at = view(point.film_px);
    draw_mark(picture, point.mark, at, radius_px, look.colour);
    if (point.mark == FlightMark::kHighest || point.mark == FlightMark::kNet) {
      // One to the left and one to the right: marks that nearly coincide keep
      // their own names.
      const double scale = std::max(0.42, picture.rows / 1300.);
      Eigen::Vector2d begin = at + radius_px * look.tag;
      if (look.tag.x() < 0) begin.x() -= words_width_px(name, scale);
      draw_words(picture, name, begin, look.colour, scale);
    }
  }
}

cv::Mat ghosts_of(const std::array<GhostLayer, 2>& layers) {
  require(layers[0].picture.size() == layers[1].picture.size(),
          "ghosts are of one size");
  cv::Mat picture;
  cv::addWeighted(layers[0].picture, 0.5, layers[1].picture, 0.5, 0, picture);
  for (const GhostLayer& layer : layers) {
    if (layer.ball) {
      show_ball(layers, around(*layer.ball, picture.size()), picture);
    }
  }
  return picture;
}

cv::Mat side_by_side(const std::array<cv::Mat, 2>& pictures,
                     bool stacked,
                     int most_px) {
  const auto even = [](double length) {
    return std::max(2, static_cast<int>(std::lround(length / 2)) * 2);
  };
  const cv::Size first = pictures[0].size();
  const cv::Size second = pictures[1].size();
  const double as_first =
      stacked ? static_cast<double>(first.width) / second.width
              : static_cast<double>(first.height) / second.height;
  const double whole = stacked ? first.height + as_first * second.height
                               : first.width + as_first * second.width;
  const double across = stacked ? first.width : first.height;
  const double scale = std::min(1., most_px / std::max(whole, across));
  const int common = even(scale * across);
  std::array<cv::Mat, 2> scaled;
  for (std::size_t i = 0; i < 2; ++i) {
    const double own = scale * (i == 0 ? 1 : as_first);
    const cv::Size size = stacked
                              ? cv::Size(common, even(own * pictures[i].rows))
                              : cv::Size(even(own * pictures[i].cols), common);
    cv::resize(pictures[i], scaled[i], size, 0, 0, cv::INTER_AREA);
  }
  cv::Mat both;
  if (stacked) {
    cv::vconcat(scaled[0], scaled[1], both);
  } else {
    cv::hconcat(scaled[0], scaled[1], both);
  }
  return both;
}

}  // namespace evenfeed
