// SPDX-License-Identifier: MIT
// wear.json: what was found, for programs and for the page.
#include "wear/wear_file.h"

#include "session/json_text.h"
#include "wear/wear.h"

#include <cmath>

#include <nlohmann/json.hpp>

namespace evenfeed {
namespace {

using Json = nlohmann::ordered_json;

Json number(double value) {
  return std::isfinite(value) ? Json(value) : Json(nullptr);
}

Json estimate_json(const Estimate& one) {
  if (!std::isfinite(one.value)) return nullptr;
  return {{"value", number(one.value)},
          {"error", number(one.error)},
          {"low", number(one.low)},
          {"high", number(one.high)},
          {"probability", number(one.probability)}};
}

Json robust_json(const SegmentedTrend& one) {
  if (!one.ok) return nullptr;
  return {{"theil_sen", number(one.slope)},
          {"low", number(one.slope_low)},
          {"high", number(one.slope_high)},
          {"mann_kendall_s", number(one.s)},
          {"z", number(one.z)},
          {"probability", number(one.probability)}};
}

Json forecast_json(const Forecast& one) {
  if (!one.ok) return nullptr;
  Json json{{"allowed", number(one.allowed)},
            {"moved", number(one.moved)},
            {"less_than_per_1000_feeds", number(one.less_than)},
            {"feeds_left", number(one.feeds_left)},
            {"feeds_left_low", number(one.feeds_low)},
            {"feeds_left_high", number(one.feeds_high)},
            {"feeds_per_session", number(one.feeds_per_session)},
            {"band", Json::array()}};
  for (const BandPoint& point : one.band) {
    json["band"].push_back({{"feeds", number(point.feeds)},
                            {"centre", number(point.centre)},
                            {"low", number(point.low)},
                            {"high", number(point.high)}});
  }
  return json;
}

Json points_json(const MeasureWear& measure, const WearHistory& history) {
  Json points = Json::array();
  const SessionTrend& trend = measure.trend;
  for (std::size_t i = 0; i < measure.points.size(); ++i) {
    const TrendPoint& one = measure.points[i];
    const WearSession& session =
        history.sessions[static_cast<std::size_t>(one.session)];
    Json point{{"session", session.id},
               {"date", date_time_text(session.started_at)},
               {"feeds", number(1000 * one.kilofeeds)},
               {"value", number(one.value)},
               {"error", number(std::sqrt(one.variance))},
               {"level", number(level_of(measure.id, one.value))}};
    if (i < trend.fitted.size()) {
      point["fitted"] = number(trend.fitted[i]);
      point["lower"] = number(trend.lower[i]);
      point["upper"] = number(trend.upper[i]);
    }
    points.push_back(point);
  }
  return points;
}

Json measure_json(const MeasureWear& measure, const WearHistory& history) {
  const MeasureInfo& about = info(measure.id);
  const SessionTrend& trend = measure.trend;
  Json json{{"measure", about.name},
            {"words", about.words},
            {"unit", about.unit},
            {"level_unit", about.level_unit},
            {"judged", trend.ok},
            {"alarm", measure.alarm()},
            {"sentence", measure.sentence}};
  if (trend.ok) {
    json["wears"] = trend.wears;
    json["hinted"] = trend.hinted;
    json["per_1000_feeds"] = estimate_json(trend.slope);
    json["per_30_days"] = estimate_json(trend.per_month);
    json["per_degree"] = std::isfinite(trend.per_degree.value)
                             ? estimate_json(trend.per_degree)
                             : Json(nullptr);
    json["between_sd"] = number(trend.between_sd);
    json["own_sd"] = number(trend.own_sd);
    json["shared_setups"] =
        trend.setups > 0
            ? Json{{"setups", trend.setups}, {"sd", number(trend.shared_sd)}}
            : Json(nullptr);
    json["degrees_of_freedom"] = number(trend.degrees);
    json["robust"] = robust_json(trend.robust);
    json["step"] = nullptr;
    if (trend.stepped) {
      json["step"] = estimate_json(trend.step);
      json["step"]["from_session"] =
          history.sessions[static_cast<std::size_t>(trend.step_before)].id;
      json["step"]["or_steady_wear"] = trend.either;
    }
    json["forecast"] = forecast_json(measure.forecast);
  }
  json["sessions"] = points_json(measure, history);
  return json;
}

}  // namespace

std::string wear_text(const WearResult& result) {
  const WearHistory& history = result.history;
  Json json{{"launcher", history.launcher},
            {"headline", result.headline()},
            {"alarm", result.alarm()},
            {"sessions", history.sessions.size()},
            {"feeds", number(history.feeds)},
            {"measures", Json::array()},
            {"suggestions", Json::array()},
            {"services", Json::array()},
            {"warnings", result.warnings}};
  for (const MeasureWear& one : result.measures) {
    json["measures"].push_back(measure_json(one, history));
  }
  for (const Suggestion& one : result.suggestions) {
    json["suggestions"].push_back(
        {{"words", one.words}, {"evidence", one.evidence}});
  }
  for (const WearEvent& one : history.events) {
    json["services"].push_back({{"kind", service_kind_name(one.kind)},
                                {"words", service_kind_words(one.kind)},
                                {"date", date_time_text(one.at)},
                                {"feeds", number(one.feeds_before)},
                                {"item", one.item},
                                {"note", one.note}});
  }
  return json_text(json);
}

}  // namespace evenfeed
