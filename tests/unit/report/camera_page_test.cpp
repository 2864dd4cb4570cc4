// SPDX-License-Identifier: MIT
#include "report/camera_page.h"

#include "report/assets.h"

#include <algorithm>
#include <map>
#include <string>
#include <vector>

#include "session_sample.h"
#include <doctest/doctest.h>

namespace evenfeed {
namespace {

struct Label {
  double x_px, y_px;
  std::string words;
};

std::vector<Label> number_labels(const std::string& svg) {
  std::vector<Label> labels;
  static constexpr std::string_view kStart = "<text class=\"number\" x=\"";
  for (std::size_t at = svg.find(kStart); at != std::string::npos;
       at = svg.find(kStart, at + 1)) {
    const std::size_t y = svg.find("y=\"", at + kStart.size());
    const std::size_t words = svg.find('>', at) + 1;
    labels.push_back({std::stod(svg.substr(at + kStart.size())),
                      std::stod(svg.substr(y + 3)),
                      svg.substr(words, svg.find('<', words) - words)});
  }
  return labels;
}

// Of the letters of such labels on a telephone, in picture units.
double phone_letter_px() {
  const std::string style(page_style());
  static constexpr std::string_view kRule = "text.number { font-size: ";
  const std::size_t at = style.find(kRule, style.find("max-width: 600px"));
  REQUIRE(at != std::string::npos);
  return std::stod(style.substr(at + kRule.size()));
}

}  // namespace

TEST_CASE("numbers of the camera's page can be read on a telephone") {
  CameraSurvey survey;
  for (int i = 0; i < 5; ++i) {
    for (int j = -1; j <= 1; ++j) {
      BouncePlace place;
      place.bounce_m = {0.137 + 0.274 * i, 0.508 * j};
      place.bound.x_m = 0.0014;
      place.bound.y_m = 0.0005;
      survey.bounces.push_back(place);
    }
  }
  const std::string page =
      camera_page(CameraSurveyOptions(), survey, table_tennis());
  const std::vector<Label> labels = number_labels(page);
  CHECK(labels.size() == 30);
  const double letter_px = phone_letter_px();
  CHECK(letter_px * 330 / 1000 >= 12);  // of a page 330 pixels wide
  int rows = 0;
  std::map<double, std::vector<Label>> by_row;
  for (const Label& one : labels) by_row[one.y_px].push_back(one);
  for (auto& [y, row] : by_row) {
    REQUIRE(row.size() == 5);
    ++rows;
    std::sort(row.begin(), row.end(), [](const Label& a, const Label& b) {
      return a.x_px < b.x_px;
    });
    for (std::size_t i = 1; i < row.size(); ++i) {
      const double wide_px =
          0.6 * letter_px * static_cast<double>(row[i].words.size());
      CHECK(row[i].x_px - row[i - 1].x_px > 1.5 * wide_px);
    }
  }
  CHECK(rows == 6);
  CHECK(page.find("above each place along the table") != std::string::npos);
}

}  // namespace evenfeed
