// SPDX-License-Identifier: MIT
#include "cli/film_json.h"

#include "base/units.h"
#include "cli/measure_words.h"
#include "session/json_text.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>

#include <nlohmann/json.hpp>

namespace evenfeed {
namespace {

using Json = nlohmann::ordered_json;

Json value_json(const SessionFit& fit, const CharacteristicInfo& about) {
  std::vector<double> values;
  std::vector<double> sigmas;
  for (const Feed& feed : fit.feeds) {
    if (!std::isfinite(feed[about.id].value)) continue;
    values.push_back(feed[about.id].value);
    sigmas.push_back(feed[about.id].sigma);
  }
  Json json{{"feeds", values.size()}};
  if (values.empty()) return json;
  json["median"] = median(values);
  json["spread"] = median_absolute_deviation(values);
  json["s_feed"] = median(sigmas);
  json["s_bench"] = fit.common.sigma[static_cast<std::size_t>(about.id)];
  return json;
}

}  // namespace

std::string calibration_json(const Bench& bench,
                             const std::vector<std::string>& warnings) {
  const CameraModel& camera = bench.camera;
  const Eigen::Vector3d eye_m = camera.eye_in_table_m();
  return json_text(Json{{"surface", bench.surface_name},
                        {"width_px", camera.width_px},
                        {"height_px", camera.height_px},
                        {"focal_px", camera.lens.focal_px},
                        {"eye_x_mm", mm_from_m(eye_m.x())},
                        {"eye_y_mm", mm_from_m(eye_m.y())},
                        {"eye_z_mm", mm_from_m(eye_m.z())},
                        {"landmarks", bench.landmarks},
                        {"residual_px", bench.residual_px},
                        {"residual_mm", bench.residual_mm},
                        {"warnings", warnings}});
}

std::string measurement_json(const Measurement& measurement) {
  const SessionFit& fit = measurement.fit;
  const auto count = [&](FeedStatus status) {
    return std::count_if(
        fit.feeds.begin(), fit.feeds.end(), [&](const Feed& feed) {
          return feed.status == status;
        });
  };
  Json values = Json::object();
  for (const CharacteristicInfo& about : characteristics()) {
    values[std::string(about.column)] = value_json(fit, about);
  }
  const std::optional<SoundTold> sound = sound_told(measurement);
  return json_text(Json{{"feeds", fit.feeds.size()},
                        {"measured", count(FeedStatus::kMeasured)},
                        {"extrapolated", count(FeedStatus::kExtrapolated)},
                        {"unmeasured", count(FeedStatus::kUnmeasured)},
                        {"film_s", measurement.duration_s},
                        {"values", values},
                        {"sound", sound ? Json(sound->words) : Json(nullptr)},
                        {"warnings", measurement_warnings(measurement)}});
}

}  // namespace evenfeed
