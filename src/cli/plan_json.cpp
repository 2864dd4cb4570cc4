// SPDX-License-Identifier: MIT
#include "cli/plan_json.h"

#include "base/units.h"
#include "session/json_text.h"

#include <nlohmann/json.hpp>

namespace evenfeed {
namespace {

using Json = nlohmann::ordered_json;

std::string_view separable_word(Separable one) {
  switch (one) {
    case Separable::kConstant:
      return "constant";
    case Separable::kNo:
      return "no";
    case Separable::kPartly:
      return "partly";
    case Separable::kYes:
      return "yes";
  }
  return "";
}

Json charts_of(const std::vector<double>& sizes,
               const std::vector<PlannedChart>& charts) {
  Json all = Json::array();
  for (const PlannedChart& one : charts) {
    Json lengths = Json::array();
    for (std::size_t i = 0; i < sizes.size(); ++i) {
      lengths.push_back(
          {{"size", sizes[i]}, {"run_length", one.run_lengths[i]}});
    }
    all.push_back({{"chart", one.name},
                   {"statistic", one.statistic},
                   {"centre", one.centre},
                   {"warning", one.warning},
                   {"action", one.action},
                   {"run_lengths", lengths}});
  }
  return all;
}

void put_bound(Json& json, const CameraBound& bound, const CameraBound& heard) {
  json["view"] = std::string(view_word(bound.view));
  json["s_x_mm"] = mm_from_m(bound.x_m);
  json["s_y_mm"] = mm_from_m(bound.y_m);
  json["s_t_ms"] = ms_from_s(bound.t_s);
  json["s_speed_mmps"] = mm_from_m(bound.speed_mps);
  json["s_descent_deg"] = deg_from_rad(bound.descent_rad);
  json["s_kick"] = bound.kick;
  json["heard_s_x_mm"] = mm_from_m(heard.x_m);
  json["heard_s_t_ms"] = ms_from_s(heard.t_s);
}

}  // namespace

std::string order_json(const std::vector<PlannedTrial>& plan,
                       int changes_of_sample,
                       double mean_gap_feeds) {
  Json trials = Json::array();
  for (const PlannedTrial& one : plan) {
    trials.push_back(
        {{"order", one.order},
         {"purpose", purpose_name(one.purpose)},
         {"block", one.block > 0 ? Json(one.block) : Json(nullptr)},
         {"sample", one.sample.empty() ? Json(nullptr) : Json(one.sample)},
         {"ball", one.ball}});
  }
  return json_text(Json{{"trials", trials},
                        {"changes_of_sample", changes_of_sample},
                        {"mean_gap_feeds", mean_gap_feeds}});
}

std::string factors_json(const FactorReport& report) {
  Json json{{"samples", report.samples},
            {"spare", report.spare},
            {"properties", Json::array()},
            {"contrasts", Json::array()},
            {"suggestions", Json::array()},
            {"lonely_kinds", report.lonely_kinds},
            {"incomplete", report.incomplete}};
  for (const Factor& one : report.factors) {
    json["properties"].push_back(
        {{"property", one.name},
         {"separable", std::string(separable_word(one.separable))},
         {"degrees", one.degrees},
         {"free", one.free},
         {"aliased_with", one.aliased_with}});
  }
  for (const CleanContrast& one : report.contrasts) {
    json["contrasts"].push_back(
        {{"a", one.a}, {"b", one.b}, {"property", one.property}});
  }
  for (const SuggestedSample& one : report.suggestions) {
    json["suggestions"].push_back({{"like", one.like},
                                   {"values", one.values},
                                   {"changed", one.changed},
                                   {"frees", one.frees}});
  }
  return json_text(json);
}

std::string charts_json(const ChartPlanOptions& options,
                        const ChartPlan& plan) {
  return json_text(
      Json{{"run_length", options.run_length},
           {"lambda", options.lambda},
           {"cusum_k", options.cusum_k},
           {"characteristics", options.characteristics},
           {"of_mean", charts_of(options.shifts, plan.of_mean)},
           {"of_spread", charts_of(options.growths, plan.of_spread)}});
}

std::string_view view_word(BounceView view) {
  switch (view) {
    case BounceView::kTooFew:
      return "too few";
    case BounceView::kBlind:
      return "DEGENERATE";
    case BounceView::kWeak:
      return "weak";
    case BounceView::kClear:
      return "clear";
  }
  return "";
}

std::string survey_json(const CameraSurvey& survey) {
  Json middle;
  put_bound(middle, survey.middle, survey.middle_heard);
  middle["sightings_before"] = survey.middle.sightings_before;
  middle["sightings_after"] = survey.middle.sightings_after;
  middle["streak_px"] = survey.middle.streak_px;
  middle["mm_per_px"] = mm_from_m(1) / survey.middle.px_per_m;
  Json bounces = Json::array();
  for (const BouncePlace& one : survey.bounces) {
    Json place{{"x_mm", mm_from_m(one.bounce_m.x())},
               {"y_mm", mm_from_m(one.bounce_m.y())}};
    put_bound(place, one.bound, one.heard);
    bounces.push_back(place);
  }
  Json elsewhere = Json::array();
  for (const CameraPlace& one : survey.elsewhere) {
    Json place{{"eye_x_mm", mm_from_m(one.eye_m.x())},
               {"eye_y_mm", mm_from_m(one.eye_m.y())},
               {"eye_z_mm", mm_from_m(one.eye_m.z())}};
    put_bound(place, one.bound, one.heard);
    elsewhere.push_back(place);
  }
  return json_text(Json{{"middle", middle},
                        {"bounces", bounces},
                        {"elsewhere", elsewhere},
                        {"advice", survey.advice}});
}

}  // namespace evenfeed
