// SPDX-License-Identifier: MIT
#include "report/pair_page.h"

#include "base/atomic_file.h"
#include "base/version.h"
#include "pairing/words.h"
#include "report/html.h"
#include "report/pair_charts.h"
#include "report/pair_flights.h"
#include "support/temp_dir.h"
#include "unit/pairing/invented_samples.h"

#include <cmath>

#include "drawing_look.h"
#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace evenfeed;

namespace {

int occurrences(const std::string& text, const std::string& part) {
  int count = 0;
  for (std::size_t at = text.find(part); at != std::string::npos;
       at = text.find(part, at + part.size())) {
    ++count;
  }
  return count;
}

Comparison comparison_of(const std::string& name) {
  Samples samples;
  samples.all = {invented_sample(name, 50, 0.5, 1),
                 invented_sample("M", 50, 0, 2)};
  samples.characteristics = samples.all[0].characteristics;
  Outcomes outcomes;
  outcomes.all.push_back(
      number_outcome("ret_speed_mps",
                     {invented_outcome(samples.all[0], 0.01, 1, 0.3, 3),
                      invented_outcome(samples.all[1], 0.01, 0, 0.3, 4)}));
  return compare(samples, outcomes, std::nullopt, {});
}

}  // namespace

TEST_CASE("the page says it without scripts") {
  const Comparison comparison = comparison_of("K");
  const std::string page = pair_page({comparison});
  CHECK(page.find("They differ.") != std::string::npos);
  CHECK(page.find(escape_html(effect_sentence(
            comparison, comparison.effects[0]))) != std::string::npos);
  REQUIRE_FALSE(comparison.caveats.empty());
  for (const std::string& caveat : comparison.caveats) {
    CHECK(page.find(escape_html(caveat)) != std::string::npos);
  }
  CHECK(page.find("matched, corrected for the feed left") != std::string::npos);
  CHECK(page.find("Feeds without a partner") != std::string::npos);
  // Nothing waits for a script: the difference, every trial, the balance.
  CHECK(page.find("<canvas") == std::string::npos);
  CHECK(occurrences(page, "<figure data-name=\"") == 3);
  CHECK(occurrences(page, "<svg viewBox") == 3);
  CHECK(page.find("id=\"picture-style\"") != std::string::npos);
  CHECK(page.find("<h2>They differ.</h2>") != std::string::npos);
  CHECK(occurrences(page, "<table>") == 4);
  CHECK(occurrences(page, "<caption>") == 4);
  CHECK(page.find("<th scope=\"row\">return speed</th>") != std::string::npos);
  CHECK(page.find("<th>") == std::string::npos);
  CHECK(page.find("<th class=\"n\">") == std::string::npos);
}

TEST_CASE("every trial is shown, and whether it found a partner") {
  Comparison comparison = comparison_of("K");
  const Effect& effect = comparison.effects[0];
  comparison.outcomes[0].values[0][3] = std::nan("");
  const auto drawing = trials_drawing(comparison, effect);
  REQUIRE(drawing);
  const int matched = 2 * static_cast<int>(comparison.matching.sets.size());
  REQUIRE(matched > 0);
  REQUIRE(matched < 99);
  const int full = occurrences(drawing->svg, "class=\"point ");
  const int hollow = occurrences(drawing->svg, "class=\"alone ");
  CHECK(full + hollow == 99);
  CHECK(full >= matched - 1);
  CHECK(full <= matched);
  CHECK(occurrences(drawing->svg, "class=\"mean\"") == 2);
  CHECK(drawing->svg.find("nan") == std::string::npos);
  comparison.outcomes[0].values[0].setConstant(std::nan(""));
  comparison.outcomes[0].values[1].setConstant(std::nan(""));
  CHECK_FALSE(trials_drawing(comparison, effect));
}

TEST_CASE("the difference is drawn with its interval beside no difference") {
  const Comparison comparison = comparison_of("K");
  const Drawing drawing = effect_drawing(comparison, comparison.effects[0]);
  // The answer, all feeds, and the raw difference, which has no interval.
  CHECK(occurrences(drawing.svg, "class=\"point keep\"") == 1);
  CHECK(occurrences(drawing.svg, "class=\"point unjudged\"") == 2);
  CHECK(occurrences(drawing.svg, "class=\"centre-line\"") == 3);
  CHECK(drawing.svg.find(">K less<") != std::string::npos);
  CHECK(drawing.svg.find("difference in return speed, m/s") !=
        std::string::npos);
  // Every row's words fit the drawing's width.
  for (std::size_t at = drawing.svg.find("class=\"name\"");
       at != std::string::npos;
       at = drawing.svg.find("class=\"name\"", at + 1)) {
    const std::size_t from = drawing.svg.find('>', at) + 1;
    CHECK(drawing.svg.find("</text>", from) - from <= 50);
  }
  // The line of no difference stops short of the rows' names.
  const auto height = [&](std::size_t from, const std::string& name) {
    const std::size_t at = drawing.svg.find(" " + name + "=\"", from);
    REQUIRE(at != std::string::npos);
    return std::stod(drawing.svg.substr(at + name.size() + 3));
  };
  std::size_t line = 0;
  for (std::size_t name = drawing.svg.find("class=\"name\"");
       name != std::string::npos;
       name = drawing.svg.find("class=\"name\"", name + 1)) {
    line = drawing.svg.find("class=\"centre-line\"", line + 1);
    REQUIRE(line != std::string::npos);
    const double top = std::min(height(line, "y1"), height(line, "y2"));
    const double bottom = std::max(height(line, "y1"), height(line, "y2"));
    CHECK(top > height(name, "y"));
    CHECK(bottom - top < 35);
  }
  CHECK(drawing.caption.find("95 % intervals") != std::string::npos);
  Comparison none = comparison;
  none.effects[0] = Effect();
  none.effects[0].outcome = "ret_speed_mps";
  CHECK(effect_drawing(none, none.effects[0]).svg.find("nan") ==
        std::string::npos);
}

TEST_CASE("what is drawn has a look in files too") {
  const Comparison comparison = comparison_of("K");
  int seen = 0;
  for (const Drawing& one :
       {effect_drawing(comparison, comparison.effects[0]),
        *trials_drawing(comparison, comparison.effects[0]),
        balance_drawing(comparison, comparison.balances[0])}) {
    const DrawingLooks looks = looks_of(one.svg);
    CHECK(looks.unknown == std::set<std::string>());
    CHECK(svg_file(one).starts_with("<svg xmlns="));
    seen += looks.seen;
  }
  CHECK(seen > 100);
}

TEST_CASE("the pairs are listed, the closest first, with what each gave") {
  Comparison comparison = comparison_of("K");
  auto& sets = comparison.matching.sets;
  REQUIRE(sets.size() >= 2);
  sets.resize(2);
  sets[0].distance = 2;
  sets[1].distance = 0.5;
  const auto& values = comparison.outcomes[0].values;
  const int a = sets[1].members[0][0], b = sets[1].members[1][0];
  const std::string row = fmt::format(
      "<tbody>\n<tr><td class=\"n\">{}</td><td class=\"n\">{:.3f} m/s</td><td "
      "class=\"n\">{}</td><td class=\"n\">{:.3f} m/s</td><td "
      "class=\"n\">0.50</td></tr>",
      a + 1,
      values[0][a],
      b + 1,
      values[1][b]);
  const std::string page = pair_page({comparison});
  CHECK(page.find("2 sets, the closest first") != std::string::npos);
  CHECK(page.find(row) != std::string::npos);
  sets.clear();
  CHECK(pair_page({comparison}).find("The pairs") == std::string::npos);
}

TEST_CASE("no difference shown is not called alike") {
  Comparison comparison = comparison_of("K");
  Effect& effect = comparison.effects[0];
  effect.p_holm = 0.5;
  effect.matched.interval = {-0.3, 0.2};
  CHECK(pair_page({comparison})
            .find("No difference is shown; one of up to 0.30") !=
        std::string::npos);
  comparison.effects.push_back(effect);
  CHECK(pair_page({comparison}).find("how large one may be stands in the") !=
        std::string::npos);
}

TEST_CASE("names cannot act in the page, and it fetches nothing") {
  const std::string page =
      pair_page({comparison_of("<script>alert(1)</script>")});
  CHECK(page.find("<script>alert") == std::string::npos);
  CHECK(page.find("&lt;script&gt;alert(1)") != std::string::npos);
  CHECK(page.find("default-src 'none'") != std::string::npos);
  CHECK(page.find("src=\"http") == std::string::npos);
}

TEST_CASE("a comparison without outcomes is still a page") {
  Comparison comparison = comparison_of("K");
  comparison.effects.clear();
  comparison.matching.sets.clear();
  const std::string page = pair_page({comparison});
  CHECK(page.find("Nothing was compared.") != std::string::npos);
  CHECK(page.find("</html>") != std::string::npos);
}

TEST_CASE(
    "a name of any length fits into the drawings, whole in their titles") {
  const std::string name(85, 'k');
  const Comparison comparison = comparison_of(name);
  REQUIRE_FALSE(comparison.effects.empty());
  const auto trials = trials_drawing(comparison, comparison.effects[0]);
  REQUIRE(trials);
  const Drawing effect = effect_drawing(comparison, comparison.effects[0]);
  for (const Drawing& drawing : {*trials, effect}) {
    CHECK(drawing.title.find(name) != std::string::npos);
    CHECK(drawing.svg.find("kkkk ... kkkk") != std::string::npos);
  }
  CHECK(effect.svg.find(name + " less") == std::string::npos);
}

TEST_CASE("the page tells where each sample's feeds come from") {
  PairInput input{comparison_of("K")};
  const std::string nothing = pair_page(input);
  CHECK(nothing.find("<h2>What this is about</h2>") != std::string::npos);
  CHECK(nothing.find("<h3>") == std::string::npos);
  CHECK(nothing.find(fmt::format("Compared with evenfeed {}.",
                                 program_version())) != std::string::npos);
  input.sources.resize(2);
  input.sources[0].provenance.head.launcher = "bench <A>";
  input.sources[0].provenance.head.started_at =
      *parse_date_time("2026-03-14T15:30");
  input.sources[0].provenance.head.source.path = "/films/k.mp4";
  input.sources[0].provenance.head.program_version = "9.8.7";
  input.sources[0].provenance.sample_properties = {{"hardness", "47"}};
  input.profile_name = "court <1>";
  SampleSheet sheet;
  sheet.properties = {"thickness_mm"};
  sheet.samples = {{"M", "soft", {"2.0"}}};
  input.declared = sheet;
  const std::string page = pair_page(input);
  for (const char* part : {"<h3>K</h3>",
                           "<h3>M</h3>",
                           "bench &lt;A&gt;",
                           "2026-03-14 15:30 UTC",
                           "<dd>k.mp4</dd>",
                           "evenfeed 9.8.7",
                           "hardness = 47",
                           "kind = soft, thickness_mm = 2.0",
                           "calipers of the profile court &lt;1&gt;"}) {
    CAPTURE(part);
    CHECK(occurrences(page, part) >= 1);
  }
  // One session with both samples is told once.
  input.sources.resize(1);
  CHECK(occurrences(pair_page(input), "<h3>All samples</h3>") == 1);
  CHECK(occurrences(pair_page(input), "<dd>k.mp4</dd>") == 1);
}

TEST_CASE("matched feeds are drawn from the side, a look for each sample") {
  PairInput input{comparison_of("K")};
  CHECK_FALSE(pair_flights_drawing(input, input.comparison.balances[0]));
  input.sources.resize(2);
  for (PairSource& source : input.sources) {
    for (int number = 1; number <= 50; ++number) {
      FlownFeed feed;
      feed.number = number;
      FlownPoint point;
      point.leg = Leg::kBack;
      point.x_in_table_m = {1, 0, 0.3};
      feed.path.push_back(point);
      point.t_s = 0.01;
      point.x_in_table_m = {-0.2, 0, 0.4};
      feed.path.push_back(point);
      source.flights.push_back(feed);
    }
  }
  const auto drawing =
      pair_flights_drawing(input, input.comparison.balances[0]);
  REQUIRE(drawing);
  const auto pairs = static_cast<int>(input.comparison.matching.sets.size());
  REQUIRE(pairs > 0);
  REQUIRE(pairs < 50);
  CHECK(occurrences(drawing->svg, "class=\"flight back keep\"") == pairs);
  CHECK(occurrences(drawing->svg, "class=\"flight back review\"") == pairs);
  CHECK(looks_of(drawing->svg).unknown == std::set<std::string>());
  CHECK(occurrences(pair_page(input), "data-name=\"flights-side\"") == 1);
  input.sources[1].flights.clear();
  CHECK_FALSE(pair_flights_drawing(input, input.comparison.balances[0]));
}

TEST_CASE("every drawing of the page is a file") {
  const PairInput input{comparison_of("K")};
  std::set<std::string> names;
  for (const Drawing& one : pair_drawings(input)) names.insert(one.name);
  CHECK(names == std::set<std::string>{"difference-ret-speed-mps",
                                       "feeds-alike",
                                       "trials-ret-speed-mps"});
  CHECK(occurrences(pair_page(input), "<figure data-name=") ==
        static_cast<int>(names.size()));
}

TEST_CASE("only what a session wrote tells where it came from") {
  const TempDir folder("pair-source");
  write_file_whole(folder / "session.json", R"({"launcher": "bench-A"})");
  CHECK(load_pair_source(folder / "tagged.csv").provenance.head.launcher ==
        "bench-A");
  CHECK(load_pair_source(folder / "K.csv").provenance.head.launcher.empty());
}
