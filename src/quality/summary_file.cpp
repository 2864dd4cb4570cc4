// SPDX-License-Identifier: MIT
// summary.json: what was decided about the trial, for programs and the report.
#include "quality/summary_file.h"

#include "base/version.h"
#include "quality/qualification.h"
#include "session/json_text.h"

#include <cmath>

#include <nlohmann/json.hpp>

namespace evenfeed {
namespace {

using Json = nlohmann::ordered_json;

Json number(double value) {
  return std::isfinite(value) ? Json(value) : Json(nullptr);
}

Json numbers(const std::vector<double>& values) {
  Json list = Json::array();
  for (const double value : values) list.push_back(number(value));
  return list;
}

Json feed_or_null(const std::optional<int>& feed) {
  return feed ? Json(*feed) : Json(nullptr);
}

Json baseline_json(const Qualification& result) {
  const Baseline& baseline = result.baseline;
  if (!baseline.ok) return nullptr;
  Json json;
  json["n"] = baseline.n;
  json["given"] = result.baseline_given;
  json["provisional"] = result.baseline_provisional;
  const Eigen::VectorXd sd = baseline.sd();
  const Eigen::MatrixXd correlation = baseline.correlation();
  for (Eigen::Index j = 0; j < baseline.mean.size(); ++j) {
    const std::string& name =
        baseline.characteristics[static_cast<std::size_t>(j)];
    json["mean"][name] = number(baseline.mean(j));
    json["sd"][name] = number(sd(j));
    json["autocorrelation"][name] = number(baseline.lag1(j));
    Json row = Json::array();
    for (const double value : correlation.row(j)) row.push_back(number(value));
    json["correlation"].push_back(row);
  }
  return json;
}

Json signal_json(const Signal& signal) {
  return {{"feed", signal.feed},
          {"chart", signal.chart},
          {"characteristic", signal.characteristic},
          {"value", number(signal.value)},
          {"limit", number(signal.limit)},
          {"changed_at_feed", signal.changed_at_feed},
          {"interval", {signal.interval_first, signal.interval_last}},
          {"misfeed", signal.misfeed}};
}

Json evenness_json(const Evenness& one) {
  return {{"characteristic", one.characteristic},
          {"sd", number(one.sd)},
          {"interval", {number(one.low), number(one.high)}},
          {"allowed", number(one.allowed)}};
}

Json chart_json(const ChartSeries& chart) {
  return {{"chart", chart.chart},
          {"characteristic", chart.characteristic},
          {"centre", number(chart.centre)},
          {"lambda", number(chart.lambda)},
          {"feeds", chart.feeds},
          {"values", numbers(chart.values)},
          {"lower", numbers(chart.lower)},
          {"upper", numbers(chart.upper)}};
}

Json interval_json(const SdInterval& one) {
  return {{"sd", number(one.sd)},
          {"interval", {number(one.low), number(one.high)}}};
}

Json ball_json(const BallEffect& effect) {
  Json json{{"characteristic", effect.characteristic},
            {"balls", effect.balls},
            {"feeds", effect.feeds},
            {"ball", interval_json(effect.ball)},
            {"launcher", interval_json(effect.launcher)},
            {"gauge_sd", number(effect.gauge_sd)},
            {"probability", number(effect.probability)},
            {"scattered", effect.scattered}};
  json["off"] = Json::array();
  for (const BallOff& one : effect.off) {
    json["off"].push_back({{"ball", one.ball},
                           {"feeds", one.feeds},
                           {"difference", number(one.difference)}});
  }
  return json;
}

Json sound_json(const SoundTold& sound) {
  return {{"used", sound.used},
          {"bounces", sound.bounces},
          {"heard", sound.heard},
          {"contacts", sound.contacts},
          {"contacts_heard", sound.contacts_heard},
          {"late_ms", number(sound.late_ms)},
          {"drift_ppm", number(sound.drift_ppm)},
          {"st_seen_ms", number(sound.st_seen_ms)},
          {"st_ms", number(sound.st_ms)},
          {"sx_seen_mm", number(sound.sx_seen_mm)},
          {"sx_mm", number(sound.sx_mm)},
          {"words", sound.words}};
}

}  // namespace

std::string summary_text(const Qualification& result) {
  Json json;
  json["program_version"] = program_version();
  json["ready"] = result.ready;
  json["ready_at_feed"] = feed_or_null(result.ready_at_feed);
  json["stable_from_feed"] = feed_or_null(result.stable_from_feed);
  json["too_few"] = result.too_few;
  json["holding_back"] = result.holding_back;
  json["evenness"] = Json::array();
  for (const Evenness& one : result.evenness) {
    json["evenness"].push_back(evenness_json(one));
  }
  json["feeds"] = result.feeds;
  json["characteristics"] = result.characteristics;
  json["baseline"] = baseline_json(result);
  json["signals"] = Json::array();
  for (const Signal& one : result.signals) {
    json["signals"].push_back(signal_json(one));
  }
  json["gauge"] = Json::object();
  json["launcher_sd"] = Json::object();
  for (std::size_t j = 0; j < result.gauge.size(); ++j) {
    const std::string& name = result.characteristics[j];
    json["gauge"][name] = number(result.gauge[j].ratio);
    json["launcher_sd"][name] = number(result.gauge[j].launcher_sd);
  }
  json["settling"] = Json::array();
  for (const SettlingTime& one : result.settling) {
    json["settling"].push_back({{"characteristic", one.characteristic},
                                {"tau_feeds", number(one.tau_feeds)},
                                {"amplitude", number(one.amplitude)}});
  }
  if (!result.balls.empty()) {
    json["balls"] = Json::array();
    for (const BallEffect& one : result.balls) {
      json["balls"].push_back(ball_json(one));
    }
  }
  for (const Verdict one :
       {Verdict::kKeep, Verdict::kReview, Verdict::kDiscard}) {
    json["counts"][std::string(verdict_name(one))] = result.count(one);
  }
  json["warnings"] = result.warnings;
  if (result.sound) json["sound"] = sound_json(*result.sound);
  json["charts"] = Json::array();
  for (const ChartSeries& one : result.charts) {
    json["charts"].push_back(chart_json(one));
  }
  return json_text(json);
}

}  // namespace evenfeed
