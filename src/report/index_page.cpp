// SPDX-License-Identifier: MIT
#include "report/index_page.h"

#include "base/counted.h"
#include "base/csv.h"
#include "base/date_time.h"
#include "report/html.h"
#include "report/page_frame.h"
#include "report/words.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr const char* kSpreads[] = {
    "x_mm", "y_mm", "speed_in_mps", "descent_deg"};

std::string headings() {
  std::string out =
      "<thead><tr><th scope=\"col\">filmed</th><th scope=\"col\">launcher</th>"
      "<th scope=\"col\">sample</th><th scope=\"col\">verdict</th><th "
      "scope=\"col\" class=\"n\">feeds</th><th scope=\"col\" "
      "class=\"n\">kept</th>";
  for (const char* column : kSpreads) {
    const auto id = find_characteristic(column);
    out += fmt::format(
        "<th scope=\"col\" class=\"n\">sd of {} <small>{}</small></th>",
        id ? info(*id).words : column,
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

std::string row(const IndexedSession& one) {
  const SessionHead& head = one.input.provenance.head;
  const std::string date =
      head.started_at > 0
          ? date_time_text(head.started_at).replace(10, 1, " ").substr(0, 16)
          : "not known";
  std::string out = fmt::format(
      "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td>{}<td "
      "class=\"n\">{}</td><td class=\"n\">{}</td>",
      one.address.empty()
          ? date
          : fmt::format(
                "<a href=\"{}\">{}</a>", escape_html(one.address), date),
      escape_html(head.launcher),
      escape_html(head.sample),
      verdict_cell(one.input),
      one.input.feeds.size(),
      one.input.judged ? fmt::format("{}", count_verdict(one.input, "keep"))
                       : "–");
  for (const char* column : kSpreads) {
    const auto found = one.input.baseline.sd.find(column);
    const bool known =
        found != one.input.baseline.sd.end() && std::isfinite(found->second);
    out += fmt::format(
        "<td class=\"n\">{}{}</td>",
        known ? csv_number(found->second, characteristic_decimals(column))
              : "–",
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
  const auto count = static_cast<std::int64_t>(sessions.size());
  std::string out =
      page_head(title + ": evenfeed sessions", "evenfeed sessions: " + title) +
      fmt::format(
          "<section><h2>{}, {} ready</h2>\n{}<table>\n<caption>Newest "
          "first, times in UTC. Standard deviations are those of the stable "
          "stretch, from feed to feed, measurement included.{}</caption>\n",
          counted(count, "session"),
          ready,
          scrolled_start("Sessions"),
          provisional
              ? " A star: of all feeds, where there was no stable stretch."
              : "") +
      headings() + "<tbody>\n";
  for (const IndexedSession* one : order) out += row(*one);
  return out + "</tbody></table></div></section>\n" + page_foot("", {});
}

}  // namespace evenfeed
