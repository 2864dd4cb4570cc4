// SPDX-License-Identifier: MIT
#include "film/svg_picture.h"

#include <doctest/doctest.h>
#include <opencv2/core.hpp>

namespace evenfeed {

TEST_CASE("a drawing becomes pixels of the width that is asked for") {
  const auto picture = picture_of_svg(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 20 10\" "
      "width=\"20\" height=\"10\"><style>.ground { fill: #ff0000; } .left { "
      "fill: #0000ff; }</style><rect class=\"ground\" width=\"20\" "
      "height=\"10\"/><svg y=\"2\" width=\"20\" height=\"8\" viewBox=\"0 0 40 "
      "16\"><rect class=\"left\" width=\"20\" height=\"16\"/></svg></svg>",
      200);
  REQUIRE(picture);  // Debian's FFmpeg draws
  CHECK(picture->cols == 200);
  CHECK(picture->rows == 100);
  CHECK(picture->at<cv::Vec3b>(10, 50) == cv::Vec3b(0, 0, 255));
  CHECK(picture->at<cv::Vec3b>(60, 50) == cv::Vec3b(255, 0, 0));
  CHECK(picture->at<cv::Vec3b>(60, 150) == cv::Vec3b(0, 0, 255));
}

TEST_CASE("what is no drawing gives none") {
  CHECK_FALSE(picture_of_svg("", 100));
  CHECK_FALSE(picture_of_svg("no drawing", 100));
  CHECK_FALSE(picture_of_svg("<svg xmlns=\"http://www.w3.org/2000/svg\"", 100));
}

}  // namespace evenfeed
