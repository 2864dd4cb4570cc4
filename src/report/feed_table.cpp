// SPDX-License-Identifier: MIT
#include "report/feed_table.h"

#include "base/csv.h"
#include "quality/words.h"
#include "report/html.h"
#include "report/picture_section.h"
#include "report/words.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include <fmt/format.h>

namespace evenfeed {
namespace {

struct Column {
  Characteristic id;
  const char* heading;
};

constexpr std::array<Column, 9> kColumns{{
    {Characteristic::kX, "along"},
    {Characteristic::kY, "across"},
    {Characteristic::kSpeedIn, "speed"},
    {Characteristic::kHeading, "heading"},
    {Characteristic::kDescent, "descent"},
    {Characteristic::kKick, "kick"},
    {Characteristic::kFlightTime, "flight time"},
    {Characteristic::kContactY, "contact across"},
    {Characteristic::kContactZ, "contact height"},
}};

std::vector<Column> columns_in_use(const ReportInput& input) {
  std::vector<Column> used;
  for (const Column& column : kColumns) {
    const bool any = std::any_of(
        input.feeds.begin(), input.feeds.end(), [&](const JudgedFeed& one) {
          return std::isfinite(one.feed[column.id].value);
        });
    if (any) used.push_back(column);
  }
  return used;
}

std::string heading(const std::string& text, std::string_view unit) {
  return fmt::format(
      "<th scope=\"col\"><button type=\"button\">{}{}</button>"
      "</th>",
      text,
      unit.empty() ? "" : fmt::format(" <small>{}</small>", unit));
}

std::string number_cell(const Measured& measured, int decimals) {
  const bool known = std::isfinite(measured.value);
  return fmt::format(
      "<td class=\"n\" data-sort=\"{}\">{}</td>",
      known ? fmt::format("{}", measured.value) : "",
      with_uncertainty(measured.value, measured.sigma, decimals));
}

std::string verdict_cell(const std::string& verdict) {
  struct Word {
    const char* verdict;
    const char* sign;
    const char* style;
  };
  static constexpr std::array<Word, 3> kWords{{{"keep", "●", "keep"},
                                               {"review", "▲", "review"},
                                               {"discard", "✕", "discard"}}};
  for (const Word& word : kWords) {
    if (verdict == word.verdict) {
      return fmt::format(
          "<td class=\"v {}\" data-sort=\"{}\"><span aria-hidden=\"true\">{}"
          "</span> {}</td>",
          word.style,
          &word - kWords.data(),
          word.sign,
          word.verdict);
    }
  }
  return fmt::format("<td class=\"v unjudged\" data-sort=\"3\">■ {}</td>",
                     verdict.empty() ? "not judged" : escape_html(verdict));
}

constexpr std::size_t kLongRemark = 80;

// Reasons, and what the measurement itself had to say.
std::string remarks(const JudgedFeed& one) {
  std::string text;
  const auto add = [&](const std::string& part) {
    if (part.empty()) return;
    text += (text.empty() ? "" : "<br>") + escape_html(part);
  };
  if (one.feed.status == FeedStatus::kExtrapolated) {
    add("landing computed: no bounce seen");
  }
  if (one.feed.status == FeedStatus::kUnmeasured) add("could not be measured");
  add(one.feed.note);
  for (const std::string& reason : one.reasons) add(reason);
  return text;
}

// The remarks of every feed; a long one is written out once and then referred
// to by the feed that has it.
std::vector<std::string> remarks_once(const ReportInput& input) {
  std::map<std::string, int> written;
  std::vector<std::string> all;
  for (const JudgedFeed& one : input.feeds) {
    std::string text = remarks(one);
    const auto [first, is_new] = written.emplace(text, one.feed.number);
    if (!is_new && text.size() > kLongRemark) {
      text = fmt::format("as for feed {}", first->second);
    }
    all.push_back(std::move(text));
  }
  return all;
}

std::string feed_row(const JudgedFeed& one,
                     const std::string& why,
                     const std::string& picture,
                     const std::vector<Column>& columns) {
  const std::string number =
      picture.empty()
          ? fmt::format("{}", one.feed.number)
          : fmt::format("<a href=\"{}\" title=\"Its picture\">{}</a>",
                        picture,
                        one.feed.number);
  std::string row =
      fmt::format("<tr{}><th scope=\"row\" data-sort=\"{}\">{}</th>{}",
                  one.verdict == "keep" ? " class=\"kept\"" : "",
                  one.feed.number,
                  number,
                  verdict_cell(one.verdict));
  row += fmt::format("<td class=\"p\">{}</td><td class=\"why\">{}</td>",
                     escape_html(one.phase),
                     why);
  row += number_cell({one.feed.t_bounce_s, kNotKnown}, 2);
  for (const Column& column : columns) {
    row += number_cell(one.feed[column.id],
                       shown_decimals(info(column.id).column));
  }
  return row + "</tr>\n";
}

// For paper, where the column of reasons would be a word wide.
std::string reasons_on_paper(const ReportInput& input,
                             const std::vector<std::string>& why) {
  std::string out;
  for (std::size_t i = 0; i < why.size(); ++i) {
    if (why[i].empty()) continue;
    out += fmt::format("<li>feed {}, {}: {}</li>\n",
                       input.feeds[i].feed.number,
                       escape_html(input.feeds[i].verdict),
                       why[i]);
  }
  return out.empty() ? out : "<ul class=\"on-paper\">\n" + out + "</ul>\n";
}

std::string sd_cell(double value, int decimals) {
  return fmt::format("<td class=\"n\">{}</td>",
                     with_uncertainty(value, kNotKnown, decimals));
}

}  // namespace

std::string feed_table(const ReportInput& input) {
  const std::vector<Column> columns = columns_in_use(input);
  std::string out =
      scrolled_start("Every feed", "wide tall") +
      "<table id=\"feeds\">\n<caption>Values ± "
      "standard uncertainty of the measurement.</caption>\n<thead><tr>" +
      heading("feed", "") + heading("verdict", "") + heading("phase", "") +
      heading("why", "") + heading("bounce at", "s");
  for (const Column& column : columns) {
    out += heading(column.heading, info(column.id).unit);
  }
  out += "</tr></thead>\n<tbody>\n";
  const std::vector<std::string> why = remarks_once(input);
  for (std::size_t i = 0; i < input.feeds.size(); ++i) {
    out += feed_row(input.feeds[i],
                    why[i],
                    picture_address(input, input.feeds[i].feed.number),
                    columns);
  }
  return out + "</tbody></table></div>\n" + reasons_on_paper(input, why);
}

std::string gauge_table(const ReportInput& input) {
  if (input.gauges.empty()) return {};
  std::string out =
      scrolled_start("How much of the spread is measurement") +
      "<table>\n<caption>Standard "
      "deviations, in the unit of the row.</caption>\n<thead><tr><th "
      "scope=\"col\">what</th>"
      "<th scope=\"col\">mean</th>"
      "<th scope=\"col\">observed sd</th>"
      "<th scope=\"col\">of that, measurement</th>"
      "<th scope=\"col\">the launcher's own</th>"
      "<th scope=\"col\">ratio</th><th scope=\"col\">so the measurement is"
      "</th></tr></thead>\n<tbody>\n";
  for (const auto& [name, gauge] : input.gauges) {
    const int decimals = shown_decimals(name);
    const auto mean = input.baseline.mean.find(name);
    out += fmt::format(
        "<tr><th scope=\"row\">{}</th>{}{}{}{}{}<td>{}</td></tr>\n",
        escape_html(characteristic_heading(name)),
        sd_cell(mean == input.baseline.mean.end() ? kNotKnown : mean->second,
                decimals),
        sd_cell(gauge.observed_sd, decimals),
        sd_cell(gauge.measurement_sd, decimals),
        sd_cell(gauge.launcher_sd, decimals),
        sd_cell(gauge.ratio, 2),
        escape_html(gauge_words(gauge.ratio)));
  }
  return out + "</tbody></table></div>\n";
}

}  // namespace evenfeed
