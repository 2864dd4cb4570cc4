// SPDX-License-Identifier: MIT
#include "report/take_away.h"

#include "base/broken_lines.h"
#include "base/check.h"
#include "base/counted.h"
#include "report/assets.h"
#include "report/chart_data.h"
#include "report/chart_svg.h"
#include "report/html.h"
#include "report/landing_map.h"
#include "report/provenance_section.h"
#include "report/side_view.h"
#include "report/words.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstdlib>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

constexpr double kChartLetter = 15.0 / 480;
// Of characters, in their height, on the average.
constexpr double kWide = 0.56;

std::string feeds_of(std::size_t count) {
  return counted(static_cast<std::int64_t>(count), "feed");
}

constexpr const char* kMarks =
    "Circle: keep; triangle: review; cross: discard; square: not judged.";

// A name for a file: letters, digits and hyphens.
std::string file_word(std::string text) {
  for (char& c : text) {
    if (std::isalnum(static_cast<unsigned char>(c)) == 0) c = '-';
  }
  return text;
}

struct Size {
  double width = 0, height = 0;
};

Size size_of(const std::string& svg) {
  static constexpr std::string_view kStart = "viewBox=\"0 0 ";
  const std::size_t at = svg.find(kStart);
  require(at != std::string::npos, "a drawing has a viewBox");
  char* end = nullptr;
  Size size;
  size.width = std::strtod(svg.c_str() + at + kStart.size(), &end);
  size.height = std::strtod(end, nullptr);
  require(size.width > 0 && size.height > 0, "a drawing has an area");
  return size;
}

// Lines of text from `top` on; moves it below them.
std::string text_lines(const std::string& text,
                       double width,
                       double letter,
                       std::string_view style,
                       double& top) {
  std::string out;
  const auto most =
      static_cast<std::size_t>(std::max(20.0, width / (kWide * letter)));
  for (const std::string& line : broken_lines(text, most, most)) {
    top += 1.35 * letter;
    out += fmt::format(
        "<text class=\"{}\" x=\"{:.1f}\" y=\"{:.1f}\" "
        "font-size=\"{:.1f}\">{}</text>\n",
        style,
        letter,
        top,
        letter,
        escape_html(line));
  }
  return out;
}

// The page's links lead nowhere outside of it.
std::string without_links(std::string svg) {
  for (std::size_t at = svg.find("<a "); at != std::string::npos;
       at = svg.find("<a ", at)) {
    svg.erase(at, svg.find('>', at) + 1 - at);
  }
  for (std::size_t at = svg.find("</a>"); at != std::string::npos;
       at = svg.find("</a>", at)) {
    svg.erase(at, 4);
  }
  return svg;
}

}  // namespace

Drawing landings_drawing(const ReportInput& input) {
  return {"landings",
          "Where the feeds landed, from above, mm",
          fmt::format("{}, to scale, the launcher to the left. {} Hollow: "
                      "computed, no bounce seen. Thick ellipse: 95 % of the "
                      "stable process; thin: 95 % of one measurement. {}",
                      feeds_of(input.feeds.size()),
                      kMarks,
                      provenance_words(input)),
          close_up_map(input),
          kMapLetter};
}

Drawing surface_drawing(const ReportInput& input) {
  return {"surface",
          "Where the feeds landed, on the whole surface",
          fmt::format("{}, from above, to scale. {} {}",
                      feeds_of(input.feeds.size()),
                      kMarks,
                      provenance_words(input)),
          whole_map(input),
          kMapLetter};
}

std::optional<Drawing> flights_drawing(const ReportInput& input) {
  std::vector<int> usable;
  for (const JudgedFeed& one : input.feeds) {
    if (may_be_used(input, one)) usable.push_back(one.feed.number);
  }
  const SideFlights flown{"", "keep", flights_of_feeds(input.flights, usable)};
  auto svg = side_view({flown}, input.surface);
  if (!svg) return std::nullopt;
  return Drawing{
      "flights",
      "Feeds and what came back, from the side, mm",
      fmt::format("{}{}, to scale, the launcher to the left; each return as "
                  "far as its first landing. {} {}",
                  feeds_of(flown.flights.size()),
                  input.judged ? " that may be used" : "",
                  kSideMarks,
                  provenance_words(input)),
      std::move(*svg),
      kMapLetter};
}

Drawing chart_drawing(const ReportInput& input, const ChartSeries& chart) {
  std::string name = "chart-" + file_word(chart.chart);
  if (!chart.characteristic.empty()) {
    name += "-" + file_word(chart.characteristic);
  }
  return {
      std::move(name),
      chart_title(chart),
      fmt::format("{}, one after the other ({}). Solid line: centre; dashed: "
                  "limits; dotted: two thirds of the way there; ring: "
                  "beyond its limit. {} {}",
                  feeds_of(chart.feeds.size()),
                  chart_name(chart.chart),
                  kMarks,
                  provenance_words(input)),
      chart_svg(input, chart),
      kChartLetter};
}

std::vector<Drawing> session_drawings(const ReportInput& input) {
  std::vector<Drawing> all{landings_drawing(input)};
  if (input.surface) all.push_back(surface_drawing(input));
  if (auto flights = flights_drawing(input)) {
    all.insert(all.begin(), std::move(*flights));
  }
  for (const ChartSeries& chart : input.charts) {
    const bool known = std::any_of(chart.values.begin(),
                                   chart.values.end(),
                                   [](double v) { return std::isfinite(v); });
    if (!known) continue;
    Drawing one = chart_drawing(input, chart);
    // Two charts of one kind would be one file.
    const auto same =
        std::count_if(all.begin(), all.end(), [&](const Drawing& other) {
          return other.name == one.name ||
                 other.name.starts_with(one.name + "--");
        });
    if (same > 0) one.name += fmt::format("--{}", same + 1);
    all.push_back(std::move(one));
  }
  return all;
}

std::string figure_start(const Drawing& drawing, std::string_view style_class) {
  return fmt::format(
      "<figure{} data-name=\"{}\" data-title=\"{}\" data-caption=\"{}\" "
      "data-letter=\"{:.4f}\">",
      style_class.empty() ? "" : fmt::format(" class=\"{}\"", style_class),
      escape_html(drawing.name),
      escape_html(drawing.title),
      escape_html(drawing.caption),
      drawing.letter);
}

std::string captioned_figure(const Drawing& drawing) {
  return fmt::format("{}\n{}<figcaption>{}</figcaption>\n</figure>\n",
                     figure_start(drawing),
                     drawing.svg,
                     escape_html(drawing.caption));
}

std::string picture_style_for_scripts() {
  return fmt::format(
      "<script type=\"text/plain\" id=\"picture-style\">{}</script>\n",
      picture_style());
}

std::string svg_file(const Drawing& drawing) {
  const Size size = size_of(drawing.svg);
  const double letter = drawing.letter * size.width;
  double top = 0.3 * letter;
  const std::string heading =
      text_lines(drawing.title, size.width, 1.2 * letter, "heading", top);
  top += 0.6 * letter;
  std::string inside = without_links(drawing.svg);
  inside.insert(inside.find(' ') + 1,
                fmt::format("y=\"{:.1f}\" width=\"{:.2f}\" height=\"{:.2f}\" ",
                            top,
                            size.width,
                            size.height));
  top += size.height;
  const std::string caption =
      text_lines(drawing.caption, size.width, 0.8 * letter, "caption", top);
  top += letter;
  return fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {0:.2f} "
      "{1:.2f}\" width=\"{0:.0f}\" height=\"{1:.0f}\" "
      "font-size=\"{2:.1f}\">\n<title>{3}</title>\n<style>\n{4}</style>\n<rect "
      "class=\"paper\" x=\"-1\" y=\"-1\" width=\"{8:.2f}\" "
      "height=\"{9:.2f}\"/>\n{5}{6}{7}"
      "</svg>\n",
      size.width,
      top,
      letter,
      escape_html(drawing.title),
      picture_style(),
      heading,
      inside,
      caption,
      size.width + 2,
      top + 2);
}

}  // namespace evenfeed
