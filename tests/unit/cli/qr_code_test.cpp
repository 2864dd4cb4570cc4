// SPDX-License-Identifier: MIT
#include "cli/qr_code.h"

#include <doctest/doctest.h>
#include <opencv2/imgproc.hpp>
#include <opencv2/objdetect.hpp>

using namespace evenfeed;

namespace {

// What a camera sees of the lines: white where nothing is drawn.
cv::Mat seen(const std::vector<std::string>& lines, int columns) {
  cv::Mat picture(
      2 * static_cast<int>(lines.size()), columns, CV_8U, cv::Scalar(255));
  for (int row = 0; row < static_cast<int>(lines.size()); ++row) {
    const std::string& line = lines[static_cast<std::size_t>(row)];
    REQUIRE(line.starts_with("\033[30;107m"));
    REQUIRE(line.ends_with("\033[0m"));
    std::string_view rest(line);
    rest.remove_prefix(9);
    rest.remove_suffix(4);
    int column = 0;
    for (; !rest.empty(); ++column) {
      REQUIRE(column < columns);
      const bool both = rest.starts_with("█");
      const bool above = both || rest.starts_with("▀");
      const bool below = both || rest.starts_with("▄");
      if (above) picture.at<uchar>(2 * row, column) = 0;
      if (below) picture.at<uchar>(2 * row + 1, column) = 0;
      rest.remove_prefix(above || below ? 3 : 1);
    }
    CHECK(column == columns);
  }
  return picture;
}

}  // namespace

TEST_CASE("the terminal shows the code, and it is seen to be one") {
  const std::string address =
      "http://192.168.1.20:41233/?key=0123456789abcdef0123456789abcdef";
  const auto code = qr_code(address);
  REQUIRE(code);
  // Of 65 bytes, at the lowest of correction: version 4.
  REQUIRE(code->size == 33);
  cv::Mat picture = seen(qr_lines(*code), qr_columns(*code));
  // A terminal of 80 columns and 24 lines has room for it.
  CHECK(picture.cols <= 80);
  CHECK(picture.rows <= 2 * 23);
  for (int row = 0; row < picture.rows; ++row) {
    for (int column = 0; column < picture.cols; ++column) {
      const bool dark = picture.at<uchar>(row, column) == 0;
      REQUIRE(dark == code->is_dark(row - 4, column - 4));
    }
  }
  cv::resize(picture, picture, {}, 6, 6, cv::INTER_NEAREST);
  std::vector<cv::Point2f> corners;
  REQUIRE(cv::QRCodeDetector().detect(picture, corners));
  REQUIRE(corners.size() == 4);
  CHECK(cv::norm(corners[0] - cv::Point2f(24, 24)) < 6);
  CHECK(cv::norm(corners[2] - cv::Point2f(222, 222)) < 6);
}

TEST_CASE("a text that is too long for any code is none") {
  CHECK_FALSE(qr_code(std::string(10000, 'a')));
}
