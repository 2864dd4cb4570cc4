// SPDX-License-Identifier: MIT
#include "pictures/drawing.h"

#include <algorithm>
#include <cmath>

#include <opencv2/imgproc.hpp>

namespace evenfeed {
namespace {

constexpr int kShift = 4;  // of fixed-point places, in bits
const cv::Scalar kEdge(25, 25, 25);

cv::Point fixed(const Eigen::Vector2d& place) {
  return {static_cast<int>(std::lround(place.x() * (1 << kShift))),
          static_cast<int>(std::lround(place.y() * (1 << kShift)))};
}

void stroke(cv::Mat& picture,
            const std::vector<Eigen::Vector2d>& places,
            bool closed,
            const cv::Scalar& colour,
            int width) {
  std::vector<cv::Point> points;
  points.reserve(places.size());
  for (const Eigen::Vector2d& place : places) points.push_back(fixed(place));
  cv::polylines(picture, points, closed, colour, width, cv::LINE_AA, kShift);
}

void edged(cv::Mat& picture,
           const std::vector<Eigen::Vector2d>& places,
           bool closed,
           const cv::Scalar& colour,
           int width) {
  stroke(picture, places, closed, kEdge, width + 2);
  stroke(picture, places, closed, colour, width);
}

std::vector<Eigen::Vector2d> ring(const Eigen::Vector2d& c, double r) {
  std::vector<Eigen::Vector2d> points;
  constexpr int kCorners = 32;
  for (int i = 0; i < kCorners; ++i) {
    const double a = 2 * M_PI * i / kCorners;
    points.emplace_back(c.x() + r * std::cos(a), c.y() + r * std::sin(a));
  }
  return points;
}

}  // namespace

cv::Scalar colour_of(Leg leg) {
  return leg == Leg::kBack ? cv::Scalar(120, 245, 140)
                           : cv::Scalar(60, 185, 255);
}

void draw_way(cv::Mat& picture,
              const std::vector<Eigen::Vector2d>& places,
              const cv::Scalar& colour,
              double width_px) {
  if (places.size() < 2) return;
  edged(picture,
        places,
        false,
        colour,
        std::max(1, static_cast<int>(std::lround(width_px))));
}

void draw_dashes(cv::Mat& picture,
                 const std::vector<Eigen::Vector2d>& places,
                 const cv::Scalar& colour,
                 double width_px) {
  const double dash_px = std::max(6., 5 * width_px);
  std::vector<Eigen::Vector2d> dash;
  double gone_px = 0;
  const auto is_gap = [&] {
    return static_cast<int>(std::floor(gone_px / dash_px)) % 2 != 0;
  };
  for (std::size_t i = 1; i < places.size(); ++i) {
    const Eigen::Vector2d along = places[i] - places[i - 1];
    const double length_px = along.norm();
    // In steps of a pixel: where a dash ends within a straight piece.
    const int steps = std::max(1, static_cast<int>(std::ceil(length_px)));
    for (int k = 0; k < steps; ++k) {
      if (is_gap()) {
        draw_way(picture, dash, colour, width_px);
        dash.clear();
      } else {
        dash.emplace_back(places[i - 1] + along * k / steps);
      }
      gone_px += length_px / steps;
    }
  }
  draw_way(picture, dash, colour, width_px);
}

void draw_thread(cv::Mat& picture,
                 const std::vector<Eigen::Vector2d>& places,
                 const cv::Scalar& colour) {
  if (places.size() >= 2) stroke(picture, places, false, colour, 1);
}

void draw_mark(cv::Mat& picture,
               FlightMark mark,
               const Eigen::Vector2d& c,
               double r,
               const cv::Scalar& colour) {
  const int width = r > 14 ? 2 : 1;
  const auto at = [&](double u, double v) -> Eigen::Vector2d {
    return {c.x() + r * u, c.y() + r * v};
  };
  switch (mark) {
    case FlightMark::kNone:
      return;
    case FlightMark::kBounce:
      edged(picture, ring(c, r), true, colour, width);
      edged(picture, {at(-1.6, 0), at(-1, 0)}, false, colour, width);
      edged(picture, {at(1, 0), at(1.6, 0)}, false, colour, width);
      return;
    case FlightMark::kContact:
      edged(picture,
            {at(-1, -1), at(1, -1), at(1, 1), at(-1, 1)},
            true,
            colour,
            width);
      return;
    case FlightMark::kHighest:
      edged(picture,
            {at(0, -1.4), at(1.3, 0.9), at(-1.3, 0.9)},
            true,
            colour,
            width);
      return;
    case FlightMark::kNet:
      edged(picture, {at(0, -2), at(0, -0.9)}, false, colour, width);
      edged(picture, {at(0, 0.9), at(0, 2)}, false, colour, width);
      edged(picture,
            {at(0, -0.9), at(0.9, 0), at(0, 0.9), at(-0.9, 0)},
            true,
            colour,
            width);
      return;
  }
}

void draw_ball(cv::Mat& picture,
               BallForm form,
               const Eigen::Vector2d& c,
               double r,
               const cv::Scalar& colour) {
  std::vector<Eigen::Vector2d> corners = ring(c, r);
  if (form == BallForm::kDiamond) {
    const double d = 1.3 * r;
    corners = {c + Eigen::Vector2d(0, -d),
               c + Eigen::Vector2d(d, 0),
               c + Eigen::Vector2d(0, d),
               c + Eigen::Vector2d(-d, 0)};
  }
  edged(picture, corners, true, colour, r > 14 ? 2 : 1);
}

std::string drawable(const std::string& words) {
  static const std::string kPlusMinus = "\u00b1";
  std::string letters;
  for (std::size_t i = 0; i < words.size(); ++i) {
    const auto byte = static_cast<unsigned char>(words[i]);
    if (words.compare(i, kPlusMinus.size(), kPlusMinus) == 0) {
      letters += "+-";
      ++i;
    } else if (byte >= 0x20 && byte < 0x7f) {
      letters += words[i];
    } else if (byte < 0x80 || byte >= 0xc0) {  // not the rest of a character
      letters += '?';
    }
  }
  return letters;
}

int words_width_px(const std::string& text, double scale) {
  int below = 0;
  return cv::getTextSize(
             drawable(text), cv::FONT_HERSHEY_SIMPLEX, scale, 1, &below)
      .width;
}

void draw_words(cv::Mat& picture,
                const std::string& text,
                const Eigen::Vector2d& at_px,
                const cv::Scalar& colour,
                double scale) {
  const std::string words = drawable(text);
  int below = 0;
  const cv::Size size =
      cv::getTextSize(words, cv::FONT_HERSHEY_SIMPLEX, scale, 1, &below);
  const int u = std::clamp(static_cast<int>(std::lround(at_px.x())),
                           2,
                           std::max(2, picture.cols - size.width - 3));
  const int v = std::clamp(static_cast<int>(std::lround(at_px.y())),
                           size.height + 3,
                           std::max(size.height + 3, picture.rows - below - 2));
  for (const bool edge : {true, false}) {
    cv::putText(picture,
                words,
                {u, v},
                cv::FONT_HERSHEY_SIMPLEX,
                scale,
                edge ? kEdge : colour,
                edge ? 3 : 1,
                cv::LINE_AA);
  }
}

}  // namespace evenfeed
