// SPDX-License-Identifier: MIT
#include "report/page.h"

#include "base/counted.h"
#include "base/csv.h"
#include "base/units.h"
#include "quality/words.h"
#include "report/advice.h"
#include "report/assets.h"
#include "report/chart_data.h"
#include "report/feed_table.h"
#include "report/html.h"
#include "report/landing_map.h"
#include "report/page_frame.h"
#include "report/picture_section.h"
#include "report/provenance_section.h"
#include "report/quote.h"
#include "report/reading_guide.h"
#include "report/returns_section.h"
#include "report/take_away.h"
#include "report/words.h"

#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

std::string_view mood_class(Mood mood) {
  switch (mood) {
    case Mood::kGood:
      return "good";
    case Mood::kCaution:
      return "caution";
    case Mood::kBad:
      return "bad";
  }
  return "";
}

// The figures a tester quotes: the sd of the stable process, by what the
// profile judges; measurement included, as it was observed. Where the spread
// was judged the verdict has said them, with what is allowed.
std::string how_even(const ReportInput& input) {
  if (!input.evenness.empty() || input.baseline.sd.empty()) return {};
  const std::string list = spread_words(input);
  if (list.empty()) return {};
  return fmt::format(
      "<p class=\"even\">From feed to feed (sd of {}{}): {}.</p>\n",
      counted(input.baseline.n, "feed"),
      input.baseline.provisional ? ", all there are" : " of the stable stretch",
      escape_html(list));
}

std::string verdict_box(const ReportInput& input) {
  const VerdictSentence sentence = verdict_sentence(input);
  std::string out = fmt::format(
      "<div class=\"verdict {}\"><h2>{}</h2><p>{}</p>\n{}"
      "<ul class=\"counts\">\n<li><b>{}</b> {}</li>\n",
      mood_class(sentence.mood),
      escape_html(sentence.headline),
      escape_html(sentence.detail),
      how_even(input),
      input.feeds.size(),
      input.feeds.size() == 1 ? "feed" : "feeds");
  if (input.judged) {
    for (const char* verdict : {"keep", "review", "discard"}) {
      out += fmt::format(
          "<li><b>{}</b> {}</li>\n", count_verdict(input, verdict), verdict);
    }
  }
  return out + "</ul></div>\n";
}

std::string map_section(const ReportInput& input) {
  const Drawing landings = landings_drawing(input);
  std::string out = "<section><h2>Where they landed</h2>\n" +
                    figure_start(landings) + "\n" + landings.svg +
                    map_legend() +
                    "<figcaption>The landings from above, to scale, the "
                    "launcher to the left.";
  if (landings_numbered(input)) {
    out += " Numbers are those of feeds to look at.";
  }
  if (landing_zone_on_map(input)) {
    out += " The dashed frame is the profile's landing zone.";
  }
  if (const int off = landings_off_map(input); off > 0) {
    out += fmt::format(" {} landed too far off to be drawn.", off);
  }
  if (!input.pictures.empty()) {
    out += " A mark leads to its feed's picture.";
  }
  out += "</figcaption>\n</figure>\n";
  if (input.surface) {
    const Drawing whole = surface_drawing(input);
    out += figure_start(whole, "small") + "\n" + whole.svg +
           "<figcaption>The same on the whole surface (" +
           escape_html(input.surface->name) +
           "); the frame is the part shown above.</figcaption>\n</figure>\n";
  }
  return out + "</section>\n";
}

std::string chart_figure(const ReportInput& input, const ChartSeries& chart) {
  const Drawing drawing = chart_drawing(input, chart);
  return fmt::format(
      "{}<figcaption>{} <small>{}</small></figcaption>{}</figure>\n",
      figure_start(drawing),
      escape_html(drawing.title),
      escape_html(chart_name(chart.chart)),
      drawing.svg);
}

// The charts that judge everything together come first; one per characteristic
// and kind is for who looks for the reason.
std::string chart_section(const ReportInput& input) {
  if (input.charts.empty()) return {};
  std::string first, folded;
  for (const ChartSeries& chart : input.charts) {
    const bool plain =
        chart.chart == "individuals" || chart.characteristic.empty();
    (plain ? first : folded) += chart_figure(input, chart);
  }
  const std::string bands = band_words(input);
  std::string out = fmt::format(
      "<section><h2>Feed by feed</h2>\n<p class=\"hint\">Solid line: centre; "
      "dashed: limits; dotted: two thirds of the way there. A ring is a point "
      "beyond its limit.{}{}{}</p>\n<div class=\"charts\">\n",
      bands.empty() ? "" : " ",
      bands,
      input.pictures.empty() ? "" : " A point leads to its feed's picture.");
  out += first + "</div>\n";
  if (!folded.empty()) {
    out +=
        "<details><summary>More charts: small shifts, spread</summary>\n"
        "<div class=\"charts\">\n" +
        folded + "</div></details>\n";
  }
  return out + "</section>\n";
}

std::string table_sections(const ReportInput& input) {
  std::string out =
      "<section class=\"feeds\"><h2>Every feed</h2>\n<input type=\"checkbox\" "
      "id=\"doubtful\"><label for=\"doubtful\"> only those that are not "
      "kept</label>\n" +
      feed_table(input) + "</section>\n" + picture_section(input);
  const std::string gauges = gauge_table(input);
  if (!gauges.empty()) {
    out += "<section><h2>How much of the spread is measurement</h2>\n" +
           gauges + "</section>\n";
  }
  return out;
}

std::string bench_section(const ReportInput& input) {
  if (!input.bench) return {};
  const Bench& bench = *input.bench;
  const Eigen::Vector3d eye_m = bench.camera.eye_in_table_m();
  return fmt::format(
      "<section><h2>The camera</h2>\n<p>{} × {} pixels, {:.2f} m above the "
      "surface, {:+.2f} m along and {:+.2f} m across from its centre. The "
      "calibration used {} landmarks and left {:.2f} px, that is {:.1f} mm at "
      "the surface.</p></section>\n",
      bench.camera.width_px,
      bench.camera.height_px,
      eye_m.z(),
      eye_m.x(),
      eye_m.y(),
      bench.landmarks,
      bench.residual_px,
      bench.residual_mm);
}

}  // namespace

std::string report_page(const ReportInput& input) {
  std::vector<std::string> signals;
  for (const Signal& signal : input.signals) {
    if (!signal.misfeed) signals.push_back(signal_sentence(signal));
  }
  return page_head(input.title + ": evenfeed report",
                   "evenfeed report on " + input.title) +
         verdict_box(input) +
         list_section("Warnings", "warning", input.warnings) +
         list_section("What changed", "", signals) + provenance_section(input) +
         returns_section(input) + map_section(input) + chart_section(input) +
         table_sections(input) + bench_section(input) +
         quote_section(report_quote(input)) + reading_guide(input) +
         safety_notes() +
         "<footer>Frame: origin at the centre of the surface, x towards the "
         "receiving end, y to the left, z up. " +
         (input.of_store
              ? "<a href=\"index.html\">All sessions</a>"
              : std::string("The same values stand in feeds.csv, tagged.csv "
                            "and summary.json beside this page.")) +
         "</footer>\n" + picture_style_for_scripts() +
         page_foot({page_script(), take_away_script()});
}

}  // namespace evenfeed
