// SPDX-License-Identifier: MIT
// Drawings of a page by themselves: each one file that any program shows, on
// white, with letters that can be read in a film and a caption that stands
// alone.
#pragma once

#include "report/report_input.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace evenfeed {

struct Drawing {
  std::string name;      ///< of a file, without an ending: "landings"
  std::string title;     ///< what it shows, with its unit
  std::string caption;   ///< what the marks mean, whose numbers they are
  std::string svg;       ///< as it stands in the page
  double letter = 0.03;  ///< height of its letters, in widths of the drawing
};

/// Letters of a map, in its widths.
inline constexpr double kMapLetter = 24.0 / 1000;

/// The maps, and every chart that holds a number, in the order of the page.
[[nodiscard]] std::vector<Drawing> session_drawings(const ReportInput& input);

[[nodiscard]] Drawing landings_drawing(const ReportInput& input);
[[nodiscard]] Drawing surface_drawing(const ReportInput& input);
/// From the side, of the feeds that may be used (of all, where nothing was
/// judged); nothing when no flight of them is known.
[[nodiscard]] std::optional<Drawing> flights_drawing(const ReportInput& input);
[[nodiscard]] Drawing chart_drawing(const ReportInput& input,
                                    const ChartSeries& chart);

/// The start of a <figure> whose drawing the page's script offers to save.
[[nodiscard]] std::string figure_start(const Drawing& drawing,
                                       std::string_view style_class = {});

/// A whole <figure> with the caption that stands alone.
[[nodiscard]] std::string captioned_figure(const Drawing& drawing);

/// What that script needs of the look of a file.
[[nodiscard]] std::string picture_style_for_scripts();

/// A whole SVG file.
[[nodiscard]] std::string svg_file(const Drawing& drawing);

}  // namespace evenfeed
