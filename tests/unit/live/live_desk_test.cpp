// SPDX-License-Identifier: MIT
#include "live/live_desk.h"

#include "base/error.h"
#include "pipeline/film_sightings.h"
#include "support/temp_dir.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace evenfeed;

namespace {

constexpr const char* kOrder =
    "order,sample,ball,note\n1,,1,\n2,K,2,\n3,K,1,turn the glass\n4,M,2,\n";

struct DeskBench {
  TempDir folder{"desk"};
  Profile profile = load_profile(EVENFEED_ROOT "/profiles/table-tennis.toml");
  std::shared_ptr<BenchState> state = std::make_shared<BenchState>();
  LiveDesk desk{folder.path(),
                profile,
                {},
                OrderSheet(CsvTable::parse(kOrder, "order.csv")),
                [this] { return state; }};

  void feed(double t_s) {
    FrameSightings frame;
    frame.t_s = t_s + 0.5;
    desk.frame(frame);
    LiveFeed one;
    one.feed.number = static_cast<int>(state->feeds.size()) + 1;
    one.first_s = t_s;
    one.last_s = t_s + 0.4;
    state->feeds.push_back(one);
  }
};

}  // namespace

TEST_CASE("an order is gone through at the desk, undone, and in the journal") {
  DeskBench bench;
  LiveDesk& desk = bench.desk;
  desk.begin({"film.mp4", "table-tennis", "", false, "", 0, 0, 0, kOrder});
  CHECK(desk.order_words() ==
        "launcher alone: 0 of 1 fed; next: K, 2 feeds, "
        "then turn the glass");
  bench.feed(1);
  CHECK(desk.act(R"({"word":"step","text":"whatever"})").empty());
  CHECK(desk.order_words() ==
        "K: 0 of 2 fed, then turn the glass; next: M, 1 feed");
  bench.feed(2);
  bench.feed(3);
  CHECK(desk.act(LogWish{"exclude", ""}).empty());
  CHECK(desk.order_words() ==
        "K: 1 of 2 fed, then turn the glass; next: M, 1 feed");
  CHECK(desk.act(LogWish{"undo", ""}).empty());
  CHECK(desk.order_words() ==
        "turn the glass; next: M, 1 feed: say when it is done");
  CHECK(desk.act(LogWish{"step", ""}).empty());
  CHECK(desk.log().sample_now() == "M");
  CHECK(desk.act(LogWish{"step", ""}).empty());
  CHECK(desk.order_words() == "the order is done");
  CHECK(desk.act(LogWish{"step", ""}) == "the order is done");
  CHECK(desk.act(LogWish{"undo", ""}).empty());
  CHECK(desk.log().sample_now() == "M");

  const auto again = read_cut_off(bench.folder.path());
  REQUIRE(again);
  CHECK(again->begin.order == kOrder);
  CHECK(again->log.sample_now() == "M");
  CHECK(again->log.entries().size() == desk.log().entries().size());
  CHECK(again->log.of(2, 2.4).sample == "K");
}

TEST_CASE("the page is told where the order is") {
  DeskBench bench;
  bench.feed(1);
  const OrderSheet order(CsvTable::parse(kOrder, "order.csv"));
  const auto told = [&](const OrderSheet& sheet) {
    return nlohmann::json::parse(state_json(*bench.state,
                                            bench.desk.log(),
                                            sheet,
                                            bench.profile.surface,
                                            bench.profile.landing_zone));
  };
  CHECK(told(order)["order"]["due"] == true);
  CHECK(told(order)["order"]["step"] == 1);
  CHECK(told(order)["order"]["steps"] == 3);
  CHECK(told(order)["feeds"][0]["ball"] == "1");
  CHECK(told(OrderSheet())["order"].is_null());
  CHECK(told(OrderSheet())["decimals"]["x_mm"] == 1);
  CHECK(told(OrderSheet())["decimals"]["speed_in_mps"] == 3);
}

TEST_CASE("without an order there is no step") {
  const TempDir folder("desk-none");
  const Profile profile =
      load_profile(EVENFEED_ROOT "/profiles/table-tennis.toml");
  const auto state = std::make_shared<BenchState>();
  LiveDesk desk(folder.path(), profile, {}, {}, [&] { return state; });
  CHECK(desk.order_words().empty());
  CHECK(desk.act(LogWish{"step", ""}).find("--order") != std::string::npos);
  CHECK(desk.act(LogWish{"note", "x"}) == "there is no feed yet");
  CHECK(desk.act(LogWish{"undo", ""}) == "there is nothing to undo");
  CHECK(desk.log().empty());
}

TEST_CASE("of a long session the page gets the last feeds and points") {
  DeskBench bench;
  ChartSeries chart;
  chart.chart = "t2";
  constexpr int kFeeds = 1000;
  for (int i = 1; i <= kFeeds; ++i) {
    bench.state->feeds.emplace_back();
    bench.state->feeds.back().feed.number = i;
    chart.feeds.push_back(i);
    chart.values.push_back(i);
  }
  bench.state->judged.charts = {chart};
  chart.chart = "individuals";
  chart.characteristic = "x_mm";
  bench.state->judged.charts.push_back(chart);
  const std::string text = state_json(
      *bench.state, {}, {}, bench.profile.surface, bench.profile.landing_zone);
  const auto told = nlohmann::json::parse(text);
  CHECK(told["feed_count"] == kFeeds);
  CHECK(told["feeds"].size() == 400);
  CHECK(told["feeds"].back()["feed"] == kFeeds);
  CHECK(told["charts"][0]["feeds"].size() == 400);
  CHECK(told["charts"][0]["feeds"][0] == kFeeds - 399);
  CHECK(told["charts"][0]["values"].back() == kFeeds);
  CHECK(told["charts"][0]["upper"].empty());
  CHECK(told["charts"][0]["unit"] == "");
  CHECK(told["charts"][1]["unit"] == "mm");
  CHECK(text.size() < 300'000);
}
