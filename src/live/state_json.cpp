// SPDX-License-Identifier: MIT
#include "live/state_json.h"

#include "base/error.h"
#include "base/units.h"
#include "quality/words.h"

#include <cmath>
#include <cstddef>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace evenfeed {
namespace {

using Json = nlohmann::ordered_json;

// What a page shows of a long session, so that it stays quick: the last ones.
constexpr std::size_t kShownFeeds = 400;
constexpr std::size_t kShownPoints = 400;

std::size_t first_shown(std::size_t count, std::size_t shown) {
  return count > shown ? count - shown : 0;
}

template <typename T>
std::vector<T> last_points(const std::vector<T>& all) {
  const std::size_t from = first_shown(all.size(), kShownPoints);
  return {all.begin() + static_cast<std::ptrdiff_t>(from), all.end()};
}

// Invalid UTF-8 is replaced, never thrown at: words may come from files.
std::string dumped(const Json& json) {
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

// To the digits that mean something; JSON knows no NaN.
Json number(double value, int decimals) {
  if (!std::isfinite(value)) return nullptr;
  const double scale = std::pow(10.0, decimals);
  return std::round(value * scale) / scale;
}

Json feed_json(const Feed& feed) {
  Json one;
  one["feed"] = feed.number;
  one["status"] = feed.status == FeedStatus::kUnmeasured     ? "unmeasured"
                  : feed.status == FeedStatus::kExtrapolated ? "extrapolated"
                                                             : "measured";
  one["t_bounce_s"] = number(feed.t_bounce_s, 4);
  for (const Characteristic id : {Characteristic::kX,
                                  Characteristic::kY,
                                  Characteristic::kSpeedIn,
                                  Characteristic::kDescent,
                                  Characteristic::kKick}) {
    const CharacteristicInfo& about = info(id);
    one[std::string(about.column)] = number(feed[id].value, about.decimals);
    one[std::string(about.sigma_column)] =
        number(feed[id].sigma, about.decimals + 1);
  }
  one["rho_xy"] = number(feed.rho_xy, 3);
  one["note"] = feed.note;
  return one;
}

Json feeds_json(const BenchState& state,
                const TrialLog& log,
                const OrderSheet& order) {
  Json feeds = Json::array();
  std::vector<std::pair<double, double>> flown_s;
  for (const LiveFeed& live : state.feeds) {
    flown_s.emplace_back(live.first_s, live.last_s);
  }
  const std::vector<FeedLog> all_said = logs_of_feeds(log, order, flown_s);
  const std::vector<FeedTag>& tags = state.judged.tags;
  for (std::size_t i = first_shown(state.feeds.size(), kShownFeeds);
       i < state.feeds.size();
       ++i) {
    const LiveFeed& live = state.feeds[i];
    Json one = feed_json(live.feed);
    one["renewed"] = live.renewed;
    if (i < tags.size()) {
      one["verdict"] = verdict_name(tags[i].verdict);
      one["phase"] = phase_name(tags[i].phase);
      one["reasons"] = tags[i].reasons;
    }
    const FeedLog& said = all_said[i];
    one["sample"] = said.sample;
    one["ball"] = said.ball;
    one["said"] = said.note;
    one["excluded"] = said.excluded;
    feeds.push_back(std::move(one));
  }
  return feeds;
}

bool shown(const ChartSeries& chart) {
  return chart.chart == "t2" || chart.chart == "mewma" ||
         chart.chart == "ewma" || chart.chart == "individuals";
}

Json charts_json(const Qualification& judged) {
  Json charts = Json::array();
  for (const ChartSeries& one : judged.charts) {
    if (!shown(one)) continue;
    Json chart;
    chart["chart"] = one.chart;
    chart["about"] = one.characteristic.empty()
                         ? ""
                         : characteristic_words(one.characteristic);
    chart["unit"] = characteristic_unit(one.characteristic);
    chart["centre"] = number(one.centre, 4);
    chart["feeds"] = last_points(one.feeds);
    const auto numbers = [](const std::vector<double>& values) {
      Json all = Json::array();
      for (const double value : last_points(values)) {
        all.push_back(number(value, 4));
      }
      return all;
    };
    chart["values"] = numbers(one.values);
    chart["lower"] = numbers(one.lower);
    chart["upper"] = numbers(one.upper);
    charts.push_back(std::move(chart));
  }
  return charts;
}

// The page shows what it is told with the decimals of every other screen.
Json decimals_json() {
  Json decimals;
  for (const CharacteristicInfo& one : characteristics()) {
    decimals[std::string(one.column)] = shown_decimals(one.column);
  }
  return decimals;
}

Json counts_json(const Qualification& judged) {
  Json counts;
  for (const Verdict one :
       {Verdict::kKeep, Verdict::kReview, Verdict::kDiscard}) {
    counts[std::string(verdict_name(one))] = judged.count(one);
  }
  return counts;
}

Json order_json(const BenchState& state,
                const TrialLog& log,
                const OrderSheet& order) {
  if (order.empty()) return nullptr;
  const OrderPlace place = order_place(order, log, state);
  return {{"words", order.words(place)},
          {"due", order.due(place)},
          {"step", place.step + 1},
          {"steps", order.steps().size()},
          {"fed", place.fed}};
}

Json surface_json(const Surface& surface, const LandingZone& zone) {
  Json table;
  table["length_mm"] = mm_from_m(surface.length_m);
  table["width_mm"] = mm_from_m(surface.width_m);
  table["net"] = surface.net.present;
  table["net_x_mm"] = mm_from_m(surface.net.x_m);
  table["zone_mm"] = {mm_from_m(zone.low_m.x()),
                      mm_from_m(zone.low_m.y()),
                      mm_from_m(zone.high_m.x()),
                      mm_from_m(zone.high_m.y())};
  return table;
}

}  // namespace

OrderPlace order_place(const OrderSheet& order,
                       const TrialLog& log,
                       const BenchState& state) {
  std::vector<double> counting_s;
  for (const LiveFeed& one : state.feeds) {
    if (log.of(one.first_s, one.last_s).excluded) continue;
    counting_s.push_back(one.first_s);
  }
  return order.place(log, counting_s);
}

std::string state_json(const BenchState& state,
                       const TrialLog& log,
                       const OrderSheet& order,
                       const Surface& surface,
                       const LandingZone& zone) {
  const Qualification& judged = state.judged;
  Json all;
  all["word"] = bench_word(state.word);
  all["line"] = state_line(state);
  all["t_s"] = number(state.t_s, 4);
  all["behind_s"] = number(state.behind_s, 1);
  all["more_feeds"] = judged.more_feeds;
  all["ready_at_feed"] =
      judged.ready_at_feed ? Json(*judged.ready_at_feed) : Json(nullptr);
  all["holding_back"] =
      state.feeds.empty() ? Json::array() : Json(judged.holding_back);
  all["counts"] = counts_json(judged);
  all["sample"] = log.sample_now();
  all["order"] = order_json(state, log, order);
  all["warnings"] = state.warnings;
  all["decimals"] = decimals_json();
  all["table"] = surface_json(surface, zone);
  all["feed_count"] = state.feeds.size();
  all["feeds"] = feeds_json(state, log, order);
  all["charts"] = charts_json(judged);
  return dumped(all);
}

std::string event_json(const LiveEvent& event) {
  Json all;
  all["kind"] = live_event_name(event.kind);
  all["t_s"] = number(event.t_s, 4);
  all["word"] = bench_word(event.word);
  all["words"] = event.words;
  if (event.kind == LiveEventKind::kFeed ||
      event.kind == LiveEventKind::kWithdrawn) {
    all["feed"] = feed_json(event.feed.feed);
    all["verdict"] = event.verdict;
    all["reasons"] = event.reasons;
  }
  return dumped(all);
}

std::string beat_json(double t_s, BenchWord word) {
  return fmt::format(R"({{"t_s":{:.4f},"word":"{}"}})", t_s, bench_word(word));
}

std::string log_json(const std::string& word,
                     double t_s,
                     const std::string& text) {
  Json all;
  all["kind"] = "log";
  all["word"] = word;
  all["t_s"] = number(t_s, 4);
  all["text"] = text;
  return dumped(all);
}

LogWish read_log_wish(const std::string& text) {
  const Json json = Json::parse(text, nullptr, false);
  const auto word_of = [&](const char* key) {
    return json.contains(key) && json[key].is_string()
               ? json[key].get<std::string>()
               : std::string();
  };
  if (!json.is_object() || word_of("word").empty()) {
    throw InputError("request",
                     "this is no wish",
                     "Allowed is {\"word\": ..., \"text\": ...}");
  }
  return {word_of("word"), word_of("text")};
}

}  // namespace evenfeed
