// SPDX-License-Identifier: MIT
#include "report/index_page.h"

#include "base/counted.h"
#include "base/csv.h"
#include "base/date_time.h"
#include "quality/words.h"
#include "report/html.h"
#include "report/page_frame.h"
#include "report/words.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// Short heads: a telephone shows few columns, and the caption says the rest.
struct Spread {
  const char* column;
  const char* words;
};
constexpr Spread kSpreads[] = {{"x_mm", "sd along"},
                               {"y_mm", "across"},
                               {"speed_in_mps", "speed"},
                               {"descent_deg", "descent"}};

std::string headings(bool launchers) {
  std::string out = fmt::format(
      "<thead><tr><th scope=\"col\">filmed</th>{}<th scope=\"col\">sample</th>"
      "<th scope=\"col\">verdict</th><th scope=\"col\" class=\"n\">feeds</th>"
      "<th scope=\"col\" class=\"n\">kept</th>",
      launchers ? "<th scope=\"col\">launcher</th>" : "");
  for (const auto& [column, words] : kSpreads) {
    const auto id = find_characteristic(column);
    out +=
        fmt::format("<th scope=\"col\" class=\"n\">{} <small>{}</small></th>",
                    words,
                    id ? info(*id).unit : "");
  }
  return out + "</tr></thead>\n";
}

std::string verdict_cell(const ReportInput& input) {
  if (!input.judged) return "<td class=\"p\">not judged</td>";
  const VerdictSentence sentence = verdict_sentence(input);
  const char* look = sentence.mood == Mood::kGood  ? "keep"
                     : sentence.mood == Mood::kBad ? "discard"
                                                   : "review";
  return fmt::format(
      "<td class=\"v {}\">{}</td>", look, escape_html(sentence.headline));
}

std::string row(const IndexedSession& one, bool launchers) {
  const SessionHead& head = one.input.provenance.head;
  // On a telephone the hour stands below the day.
  const std::string date =
      head.started_at > 0
          ? fmt::format("{} <small>{}</small>",
                        date_text(head.started_at),
                        date_time_text(head.started_at).substr(11, 5))
          : "not known";
  std::string out = fmt::format(
      "<tr><th scope=\"row\" class=\"when\">{}</th>{}<td>{}</td>{}<td "
      "class=\"n\">{}</td><td class=\"n\">{}</td>",
      one.address.empty()
          ? date
          : fmt::format(
                "<a href=\"{}\">{}</a>", escape_html(one.address), date),
      launchers ? fmt::format("<td>{}</td>", escape_html(head.launcher)) : "",
      escape_html(head.sample),
      verdict_cell(one.input),
      one.input.feeds.size(),
      one.input.judged ? fmt::format("{}", count_verdict(one.input, "keep"))
                       : "–");
  for (const auto& [column, words] : kSpreads) {
    const auto found = one.input.baseline.sd.find(column);
    const bool known =
        found != one.input.baseline.sd.end() && std::isfinite(found->second);
    out += fmt::format(
        "<td class=\"n\">{}{}</td>",
        known ? csv_number(found->second, shown_decimals(column)) : "–",
        known && one.input.baseline.provisional ? "*" : "");
  }
  return out + "</tr>\n";
}

}  // namespace

std::string index_page(const std::string& title,
                       const std::vector<IndexedSession>& sessions) {
  std::vector<const IndexedSession*> order;
  int ready = 0;
  bool provisional = false;
  for (const IndexedSession& one : sessions) {
    order.push_back(&one);
    ready += one.input.ready;
    provisional |= one.input.baseline.provisional;
  }
  std::stable_sort(
      order.begin(), order.end(), [](const auto* a, const auto* b) {
        return a->input.provenance.head.started_at >
               b->input.provenance.head.started_at;
      });
  const bool launchers =
      std::any_of(order.begin(), order.end(), [&](const auto* one) {
        return one->input.provenance.head.launcher !=
               order[0]->input.provenance.head.launcher;
      });
  const auto count = static_cast<std::int64_t>(sessions.size());
  std::string out =
      page_head(title + ": evenfeed sessions", "evenfeed sessions: " + title) +
      fmt::format(
          "<section><h2>{}, {} ready</h2>\n{}",
          counted(count, "session"),
          ready,
          table_start(
              "Sessions",
              std::string("Newest first, times in UTC. The sd is that of the "
                          "stable stretch, from feed to feed, measurement "
                          "included: of the landing along and across the "
                          "table, of speed and descent.") +
                  (provisional ? " A star: of all feeds, where there was no "
                                 "stable stretch."
                               : ""))) +
      headings(launchers) + "<tbody>\n";
  for (const IndexedSession* one : order) out += row(*one, launchers);
  return out + "</tbody></table></div></section>\n" + page_foot({});
}

}  // namespace evenfeed
