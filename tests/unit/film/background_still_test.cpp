// SPDX-License-Identifier: MIT
#include "film/background_still.h"

#include <stdexcept>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("the median forgets what passes") {
  std::vector<cv::Mat> pictures;
  for (int i = 0; i < 5; ++i) {
    cv::Mat picture(4, 6, CV_8U, cv::Scalar(100));
    picture.at<uchar>(i % 4, i) = 250;  // a ball, elsewhere each time
    picture.at<uchar>(3, 5) = static_cast<uchar>(10 * i);
    pictures.push_back(picture);
  }
  const cv::Mat odd = median_picture(pictures);
  CHECK(odd.at<uchar>(0, 0) == 100);
  CHECK(odd.at<uchar>(3, 5) == 20);
  pictures.pop_back();
  CHECK(median_picture(pictures).at<uchar>(3, 5) == 15);
}

TEST_CASE("no pictures, or of different sizes, is a fault of the caller") {
  CHECK_THROWS_AS(median_picture({}), std::logic_error);
  CHECK_THROWS_AS(median_picture({cv::Mat(4, 4, CV_8U, cv::Scalar(1)),
                                  cv::Mat(4, 5, CV_8U, cv::Scalar(1))}),
                  std::logic_error);
}
