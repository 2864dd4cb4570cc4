// SPDX-License-Identifier: MIT
// Lines, marks and words on a picture, with a dark edge so that they are seen
// on any background. Places are in pixels, whole numbers at pixel centres.
#pragma once

#include "flight/flown_feed.h"

#include <string>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

/// Orange for the feed, green for what came back.
cv::Scalar colour_of(Leg leg);

void draw_way(cv::Mat& picture,
              const std::vector<Eigen::Vector2d>& places,
              const cv::Scalar& colour,
              double width_px);

/// The same in dashes, for another sample.
void draw_dashes(cv::Mat& picture,
                 const std::vector<Eigen::Vector2d>& places,
                 const cv::Scalar& colour,
                 double width_px);

/// One pixel wide and without an edge, over balls that must stay visible.
void draw_thread(cv::Mat& picture,
                 const std::vector<Eigen::Vector2d>& places,
                 const cv::Scalar& colour);

/// Each kind has a form of its own: bounce a ring, contact a square, the
/// highest place a triangle, the net's plane a bar with a gap. Open in the
/// middle, so that the ball is seen in it.
void draw_mark(cv::Mat& picture,
               FlightMark mark,
               const Eigen::Vector2d& at_px,
               double radius_px,
               const cv::Scalar& colour);

/// Two samples' balls are told apart by colour and form.
enum class BallForm { kRing, kDiamond };

/// Around a ball, open in the middle.
void draw_ball(cv::Mat& picture,
               BallForm form,
               const Eigen::Vector2d& at_px,
               double radius_px,
               const cv::Scalar& colour);

/// The letters can be drawn: ASCII, "+-" for its sign, "?" for all else.
std::string drawable(const std::string& words);

/// `at_px` is the lower left corner of the first letter. Kept in the picture.
void draw_words(cv::Mat& picture,
                const std::string& words,
                const Eigen::Vector2d& at_px,
                const cv::Scalar& colour,
                double scale = 0.42);

/// How wide draw_words() draws them.
[[nodiscard]] int words_width_px(const std::string& text, double scale);

}  // namespace evenfeed
