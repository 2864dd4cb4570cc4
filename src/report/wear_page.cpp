// SPDX-License-Identifier: MIT
#include "report/wear_page.h"

#include "base/csv.h"
#include "report/advice.h"
#include "report/assets.h"
#include "report/html.h"
#include "report/page_frame.h"
#include "report/quote.h"
#include "report/take_away.h"
#include "report/wear_charts.h"
#include "wear/words.h"

#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

std::string head(const WearResult& result) {
  return page_head(result.history.launcher + ": evenfeed wear",
                   "evenfeed on the wear of " + result.history.launcher);
}

std::string wear_box(const WearResult& result) {
  const WearHistory& history = result.history;
  std::string dates;
  if (!history.sessions.empty()) {
    dates = fmt::format("{} to {}",
                        date_text(history.sessions.front().started_at),
                        date_text(history.sessions.back().started_at));
  }
  return fmt::format(
      "<div class=\"verdict {}\"><h2>{}</h2><p>{}</p>\n"
      "<ul class=\"counts\">\n<li><b>{}</b> {}</li>\n<li><b>{:.0f}</b> "
      "feeds</li>\n<li><b>{}</b> {}</li>\n</ul></div>\n",
      result.alarm()       ? "bad"
      : result.too_early() ? "caution"
                           : "good",
      escape_html(result.headline()),
      dates,
      history.sessions.size(),
      history.sessions.size() == 1 ? "session" : "sessions",
      history.feeds,
      history.events.size(),
      history.events.size() == 1 ? "service entry" : "service entries");
}

std::string suggestion_section(const WearResult& result) {
  if (result.suggestions.empty()) return {};
  std::string out =
      "<section class=\"warning\"><h2>What to look at</h2>\n"
      "<ul class=\"plain\">\n";
  for (const Suggestion& one : result.suggestions) {
    out += "<li>" + escape_html(one.words) + ".";
    std::string list;
    for (const std::string& name : one.evidence) {
      const auto id = find_measure(name);
      if (!id) continue;
      list += fmt::format("<li class=\"hint\">{}</li>\n",
                          escape_html(result.of(*id).sentence));
    }
    if (!list.empty()) out += "\n<ul>\n" + list + "</ul>";
    out += "</li>\n";
  }
  return out + "</ul></section>\n";
}

std::string warning_section(const WearResult& result) {
  if (result.warnings.empty()) return {};
  std::string out =
      "<section class=\"warning\"><h2>Warnings</h2>\n<ul class=\"plain\">\n";
  for (const std::string& one : result.warnings) {
    out += "<li>" + escape_html(one) + "</li>\n";
  }
  return out + "</ul></section>\n";
}

std::string estimate_cell(const Estimate& one, std::string_view unit) {
  if (!std::isfinite(one.value)) return "<td class=\"n\">–</td>";
  return fmt::format("<td class=\"n\">{} ({} to {}) {}</td>",
                     csv_number(one.value, 3),
                     csv_number(one.low, 3),
                     csv_number(one.high, 3),
                     unit);
}

std::string measure_row(const MeasureWear& measure) {
  const MeasureInfo& about = info(measure.id);
  const SessionTrend& trend = measure.trend;
  std::string row = fmt::format("<tr><th scope=\"row\">{}</th>", about.words);
  if (!trend.ok) {
    return row + fmt::format("<td colspan=\"6\" class=\"p\">{}</td></tr>\n",
                             escape_html(trend.message));
  }
  row += fmt::format(
      "<td class=\"n\">{} {}</td>",
      csv_number(level_of(measure.id, trend.fitted.back()), about.decimals),
      about.level_unit);
  row += estimate_cell(trend.slope, about.unit);
  row += estimate_cell(trend.per_month, about.unit);
  row += fmt::format("<td class=\"n\">{} {}</td><td class=\"n\">{} {}</td>",
                     csv_number(trend.between_sd, 3),
                     about.unit,
                     csv_number(trend.own_sd, 3),
                     about.unit);
  const char* word = trend.stepped  ? "sudden change"
                     : trend.wears  ? "wears"
                     : trend.hinted ? "perhaps"
                                    : "none seen";
  return row + fmt::format("<td class=\"{}\">{}</td></tr>\n",
                           measure.alarm() ? "v discard" : "p",
                           word);
}

std::string table_section(const WearResult& result) {
  std::string out =
      "<section><h2>Every measure</h2>\n" +
      table_start("Every measure",
                  "Movements with their intervals. The set-up's sd is what "
                  "setting the bench up anew brings; a session's own error is "
                  "what its feeds leave uncertain.") +
      "<thead><tr><th scope=\"col\">measure</th>"
      "<th scope=\"col\" class=\"n\">now</th><th scope=\"col\" class=\"n\">per "
      "1000 feeds</th>"
      "<th scope=\"col\" class=\"n\">per 30 days</th>"
      "<th scope=\"col\" class=\"n\">set-up sd</th><th scope=\"col\" "
      "class=\"n\">own error</th>"
      "<th scope=\"col\">wear</th>"
      "</tr></thead>\n<tbody>\n";
  for (const MeasureWear& one : result.measures) out += measure_row(one);
  return out + "</tbody></table></div></section>\n";
}

std::string trend_section(const WearResult& result) {
  std::string out =
      "<section><h2>Session by session</h2>\n<p class=\"hint\">Points: "
      "sessions, with the interval of their own error; solid line: the trend; "
      "dashed: where a session set up anew may lie (3 sd); shaded: the "
      "forecast for the sessions to come; upright lines: services.</p>\n"
      "<div class=\"charts\">\n";
  for (const MeasureWear& one : result.measures) {
    if (one.points.empty()) continue;
    const Drawing drawing = wear_drawing(result, one);
    out += figure_start(drawing) +
           fmt::format(
               "<figcaption>{}</figcaption>{}<p class=\"hint\">{}</p>"
               "</figure>\n",
               escape_html(drawing.title),
               drawing.svg,
               escape_html(one.sentence));
  }
  return out + "</div></section>\n";
}

std::string service_section(const WearHistory& history) {
  if (history.events.empty()) return {};
  std::string out = "<section><h2>Service log</h2>\n" +
                    table_start("Service log",
                                "What was done to the launcher, and how many "
                                "feeds it had run by then.") +
                    "<thead><tr>"
                    "<th scope=\"col\">when</th><th scope=\"col\">what</th><th "
                    "scope=\"col\">item</th>"
                    "<th scope=\"col\" class=\"n\">after feeds</th>"
                    "<th scope=\"col\">note</th></tr></thead>\n<tbody>\n";
  for (const WearEvent& one : history.events) {
    out += fmt::format(
        "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td "
        "class=\"n\">{:.0f}</td>"
        "<td>{}</td></tr>\n",
        date_text(one.at),
        service_kind_words(one.kind),
        escape_html(one.item),
        one.feeds_before,
        escape_html(one.note));
  }
  return out + "</tbody></table></div></section>\n";
}

}  // namespace

std::string wear_page(const WearResult& result) {
  return head(result) + wear_box(result) + suggestion_section(result) +
         warning_section(result) + trend_section(result) +
         table_section(result) + service_section(result.history) +
         quote_section(wear_quote(result)) + safety_notes() +
         "<footer>Levels are judged as logarithms: 1 % is 1 % at any speed. "
         "Landing places are not compared between sessions. The same values "
         "stand in wear.json.</footer>\n" +
         picture_style_for_scripts() + page_foot({take_away_script()});
}

}  // namespace evenfeed
