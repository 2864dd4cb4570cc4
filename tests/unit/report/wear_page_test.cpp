// SPDX-License-Identifier: MIT
#include "report/wear_page.h"

#include "base/random.h"
#include "report/wear_charts.h"

#include <cmath>
#include <random>
#include <string>

#include "drawing_look.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// Invented: a launcher whose speed falls, with one service.
WearHistory history(const std::string& name) {
  auto engine = derived_engine(3, "wear page");
  std::normal_distribution<double> normal;
  WearHistory out;
  out.launcher = name;
  for (int i = 0; i < 20; ++i) {
    WearSession session;
    session.id = i + 1;
    session.started_at = 1770000000 + 86400 * i;
    session.feeds = 100;
    session.feeds_before = out.feeds;
    session.ready = true;
    session.values[0] = {150 - 2.0 * i / 10 + 0.1 * normal(engine), 4, 100};
    out.feeds += 100;
    out.sessions.push_back(session);
  }
  out.events.push_back(
      {ServiceKind::kNewBalls, 1770000000, "<b>balls</b>", "a & b", 500, 0});
  return out;
}

bool holds(const std::string& page, const std::string& text) {
  return page.find(text) != std::string::npos;
}

}  // namespace

TEST_CASE("the page of a launcher's wear") {
  const std::string page =
      wear_page(judge_wear(history("bench <script>"), WearOptions()));
  CHECK(holds(page, "Needs attention: speed at the bounce."));
  CHECK(holds(page, "What to look at"));
  CHECK(holds(page, "data-name=\"wear-speed\""));
  CHECK_FALSE(holds(page, "data-name=\"wear-kick\""));  // no session has one
  CHECK_FALSE(holds(page, "<canvas"));
  CHECK(holds(page, "id=\"picture-style\""));
  CHECK(holds(page, "<caption>Movements with their intervals."));
  CHECK(holds(page, "<caption>What was done to the launcher"));
  CHECK(holds(page, "<th scope=\"row\">speed at the bounce</th>"));
  CHECK(holds(page, "too few sessions to tell"));
  // What the store says does nothing on the page.
  CHECK(holds(page, "bench &lt;script&gt;"));
  CHECK_FALSE(holds(page, "bench <script>"));
  CHECK(holds(page, "&lt;b&gt;balls&lt;/b&gt;"));
  CHECK_FALSE(holds(page, "<b>balls"));
  CHECK(holds(page, "a &amp; b"));
  // Nothing is fetched.
  CHECK(holds(page, "default-src 'none'"));
  CHECK_FALSE(holds(page, "<link"));
  CHECK_FALSE(holds(page, "<script src"));
}

TEST_CASE("sessions are drawn with their trend, and have a look in files") {
  WearHistory far = history("bench-A");
  far.sessions[7].values[0].value += 40;
  const WearResult result = judge_wear(std::move(far), WearOptions());
  const Drawing drawing = wear_drawing(result, result.of(Measure::kSpeed));
  const auto count = [&](const std::string& part) {
    int found = 0;
    for (std::size_t at = drawing.svg.find(part); at != std::string::npos;
         at = drawing.svg.find(part, at + 1)) {
      ++found;
    }
    return found;
  };
  CHECK(count("class=\"point keep\"") == 19);
  CHECK(count("class=\"point discard\"") == 1);  // another unit
  CHECK(count("class=\"error-bar\"") == 20);
  CHECK(count("class=\"limit-line\"") == 2);
  CHECK(count("class=\"centre-line\"") == 1);
  CHECK(count("class=\"forecast\"") == 1);
  CHECK(count("class=\"service\"") == 1);
  CHECK(count("nan") == 0);
  CHECK(drawing.title == "speed at the bounce (m/s)");
  CHECK(count("text-anchor=\"end\">m/s</text>") == 1);
  // A kick has no unit, though its movements are told in per cent.
  WearHistory kicks = history("bench-A");
  for (WearSession& one : kicks.sessions) one.values[1] = {-30, 4, 100};
  const WearResult kicked = judge_wear(std::move(kicks), WearOptions());
  CHECK(wear_drawing(kicked, kicked.of(Measure::kKick)).title ==
        "kick off the bounce");
  CHECK(drawing.caption.find("launcher bench-A") != std::string::npos);
  const DrawingLooks looks = looks_of(drawing.svg);
  CHECK(looks.unknown == std::set<std::string>());
  CHECK(looks.seen > 40);
  CHECK(holds(svg_file(drawing), "class=\"heading\""));
  const auto all = wear_drawings(result);
  REQUIRE(all.size() == 1);  // of one measure there are points
  CHECK(all[0].name == drawing.name);
}

TEST_CASE("the page of a launcher without sessions") {
  WearHistory none;
  none.launcher = "new";
  const std::string page = wear_page(judge_wear(none, WearOptions()));
  CHECK(holds(page, "No sessions yet."));
  CHECK(holds(page, "class=\"verdict caution\""));
  CHECK(holds(page, "</html>"));
}
