// SPDX-License-Identifier: MIT
#include "report/order_sheet.h"

#include "base/counted.h"
#include "report/advice.h"
#include "report/html.h"
#include "report/page_frame.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

std::string how_to(const OrderOptions& options) {
  return fmt::format(
      "<section><h2>How to use it</h2>\n<ul class=\"plain\">\n"
      "<li>Feed in this order and tick each row. Film the whole test in one "
      "go, or note when the film was cut.</li>\n"
      "<li>Feeds without a sample go onto the bare bench: warm-up first, later "
      "re-checks that show whether the launcher still feeds as it did.</li>\n"
      "<li>Change the sample with the launcher unplugged or locked, and clamp "
      "each one at the same mark.</li>\n"
      "<li>Balls are numbered 1 to {}; wipe them alike.</li>\n"
      "<li>Skip nothing silently: strike the row and write why. Write the "
      "feed's number where it differs from the order.</li>\n"
      "<li>Seed {}: the same seed gives this order again.</li>\n"
      "</ul></section>\n",
      options.balls,
      options.seed);
}

// By these the sheet and its film find each other again.
std::string to_fill_in(std::size_t feeds) {
  std::string out = fmt::format(
      "<section class=\"from\"><h2>This test</h2>\n<p>{} in "
      "all.</p>\n{}<tbody>\n",
      counted(static_cast<std::int64_t>(feeds), "feed"),
      table_start("This test", "Write down which film is whose."));
  for (const char* what :
       {"date", "film, or films", "launcher", "settings", "who fed"}) {
    out += fmt::format(
        "<tr><th scope=\"row\">{}</th><td class=\"write\"></td></tr>\n", what);
  }
  return out + "</tbody></table></div>\n</section>\n";
}

std::string rows(const std::vector<PlannedTrial>& plan) {
  std::string out =
      table_start("The order", "One row for each feed, in this order.") +
      "<thead><tr><th "
      "scope=\"col\" class=\"n\">order</th><th scope=\"col\">what</th>"
      "<th scope=\"col\" class=\"n\">block</th><th "
      "scope=\"col\">sample</th><th "
      "scope=\"col\" class=\"n\">ball</th><th scope=\"col\">done</th><th "
      "scope=\"col\">feed</th>"
      "<th scope=\"col\">note</th></tr></thead><tbody>\n";
  for (const PlannedTrial& trial : plan) {
    out += fmt::format(
        "<tr><td class=\"n\">{}</td><td>{}</td><td class=\"n\">{}</td>"
        "<td><b>{}</b></td><td class=\"n\">{}</td><td>☐</td><td></td>"
        "<td class=\"why\"></td></tr>\n",
        trial.order,
        purpose_name(trial.purpose),
        trial.block > 0 ? fmt::format("{}", trial.block) : "",
        escape_html(trial.sample),
        trial.ball);
  }
  return out + "</tbody></table></div>\n";
}

}  // namespace

std::string order_sheet(const OrderOptions& options,
                        const std::vector<PlannedTrial>& plan) {
  const std::string names = fmt::format("{}", fmt::join(options.samples, ", "));
  return page_head("Order of trials: " + names,
                   "evenfeed order of trials: " + names) +
         to_fill_in(plan.size()) + how_to(options) +
         "<section><h2>The order</h2>\n" + rows(plan) + "</section>\n" +
         safety_notes() + page_foot({});
}

}  // namespace evenfeed
