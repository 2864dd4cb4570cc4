// SPDX-License-Identifier: MIT
#include "report/page.h"

#include "base/units.h"
#include "report/advice.h"
#include "report/assets.h"
#include "report/chart_data.h"
#include "report/feed_table.h"
#include "report/html.h"
#include "report/landing_map.h"
#include "report/page_frame.h"
#include "report/words.h"

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

std::string verdict_box(const ReportInput& input) {
  const VerdictSentence sentence = verdict_sentence(input);
  std::string out = fmt::format(
      "<div class=\"verdict {}\"><strong>{}</strong><p>{}</p>\n"
      "<ul class=\"counts\">\n<li><b>{}</b> feeds</li>\n",
      mood_class(sentence.mood),
      escape_html(sentence.headline),
      escape_html(sentence.detail),
      input.feeds.size());
  if (input.judged) {
    for (const char* verdict : {"keep", "review", "discard"}) {
      out += fmt::format(
          "<li><b>{}</b> {}</li>\n", count_verdict(input, verdict), verdict);
    }
  }
  return out + "</ul></div>\n";
}

std::string map_section(const ReportInput& input) {
  std::string out = "<section><h2>Where they landed</h2>\n<figure>\n" +
                    close_up_map(input) + map_legend() +
                    "<figcaption>The landings from above, to scale, the "
                    "launcher to the left. Numbers are those of feeds to look "
                    "at.";
  if (input.landing_zone) {
    out += " The dashed frame is the profile's landing zone.";
  }
  if (const int off = landings_off_map(input); off > 0) {
    out += fmt::format(" {} landed too far off to be drawn.", off);
  }
  out += "</figcaption>\n</figure>\n";
  if (input.surface) {
    out += "<figure class=\"small\">\n" + whole_map(input) +
           "<figcaption>The same on the whole surface (" +
           escape_html(input.surface->name) +
           "); the frame is the part shown above.</figcaption>\n</figure>\n";
  }
  return out + "</section>\n";
}

std::string chart_section(const ReportInput& input) {
  if (input.charts.empty()) return {};
  std::string out =
      "<section><h2>Control charts</h2>\n<p class=\"hint\">Solid line: centre; "
      "dashed: limits; dotted: two thirds of the way there. A ring is a point "
      "beyond its limit. The shaded bands are the warm-up and the baseline."
      "</p>\n<noscript><p>The charts need scripts; everything they led to is "
      "in "
      "the lists and the table.</p></noscript>\n<div class=\"charts\">\n";
  for (std::size_t i = 0; i < input.charts.size(); ++i) {
    out += fmt::format(
        "<figure><figcaption>{}</figcaption><div class=\"plot\"><canvas "
        "id=\"chart-{}\" role=\"img\" aria-label=\"{}\"></canvas></div>"
        "</figure>\n",
        escape_html(chart_title(input.charts[i])),
        i,
        escape_html(chart_description(input.charts[i])));
  }
  return out + "</div></section>\n";
}

std::string table_sections(const ReportInput& input) {
  std::string out =
      "<section><h2>Every feed</h2>\n<p class=\"hint\">Values ± standard "
      "uncertainty of the measurement. Click a heading to sort.</p>\n" +
      feed_table(input) + "</section>\n";
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
         list_section("What changed", "", signals) + map_section(input) +
         chart_section(input) + table_sections(input) + bench_section(input) +
         reading_guide() + safety_notes() +
         "<footer>Frame: origin at the centre of the surface, x towards the "
         "receiving end, y to the left, z up. The same values stand in "
         "feeds.csv, tagged.csv and summary.json beside this page.</footer>\n" +
         page_foot(input.charts.empty() ? "" : chart_json(input),
                   {page_script()});
}

}  // namespace evenfeed
