// SPDX-License-Identifier: MIT
#include "cli/doctor_json.h"

#include "base/version.h"
#include "cli/doctor_findings.h"
#include "session/json_text.h"

#include <cmath>

#include <nlohmann/json.hpp>

namespace evenfeed {
namespace {

using Json = nlohmann::ordered_json;

double rounded(double value, double step) {
  return std::round(value / step) * step;
}

Json camera_json(const CaptureDevice& device) {
  Json json{{"device", device.file.string()},
            {"name", device.name},
            {"problem", device.problem}};
  json["formats"] = Json::array();
  for (const CaptureFormat& format : device.formats) {
    Json sizes = Json::array();
    for (const CaptureSize& size : format.sizes) {
      sizes.push_back({{"width_px", size.width_px},
                       {"height_px", size.height_px},
                       {"rates_hz", size.rates_hz},
                       {"any_below", size.any_below}});
    }
    json["formats"].push_back({{"format", format.code},
                               {"words", format.words},
                               {"coded", format.coded},
                               {"sizes", sizes}});
  }
  return json;
}

Json ffmpeg_json(const Examination& seen) {
  Json abilities = Json::array();
  for (const FfmpegAbility& one : seen.abilities) {
    abilities.push_back({{"kind", ability_kind_name(one.kind)},
                         {"name", one.name},
                         {"use", one.use},
                         {"there", one.there}});
  }
  return {{"version", seen.ffmpeg}, {"abilities", abilities}};
}

Json disk_json(const Examination& seen) {
  if (!seen.free_bytes) return nullptr;
  return {{"folder", seen.folder.string()},
          {"free_bytes", *seen.free_bytes},
          {"minutes_h264", rounded(minutes_of_film(seen, kCodedBits), 0.1)},
          {"minutes_mjpeg", rounded(minutes_of_film(seen, kMjpegBits), 0.1)}};
}

Json speed_json(const Examination& seen) {
  if (!seen.speed) return nullptr;
  const SpeedTrial& trial = *seen.speed;
  return {{"frames", trial.frames},
          {"wall_s", rounded(trial.wall_s, 1e-4)},
          {"times", rounded(trial.times(), 1e-3)},
          {"share_of_processors", rounded(trial.share(), 1e-3)},
          {"processors", trial.processors}};
}

}  // namespace

std::string examination_json(const Examination& seen) {
  const std::vector<Finding> findings = findings_of(seen);
  Json json{{"program_version", program_version()},
            {"width_px", seen.size.width_px},
            {"height_px", seen.size.height_px},
            {"rate_hz", seen.rate_hz},
            {"may_begin", may_begin(findings)}};
  json["findings"] = Json::array();
  for (const Finding& one : findings) {
    json["findings"].push_back({{"area", one.area},
                                {"health", health_word(one.health)},
                                {"words", one.words},
                                {"do", one.mend}});
  }
  json["cameras"] = Json::array();
  for (const CaptureDevice& one : seen.cameras) {
    json["cameras"].push_back(camera_json(one));
  }
  json["ffmpeg"] = ffmpeg_json(seen);
  json["disk"] = disk_json(seen);
  json["speed"] = speed_json(seen);
  return json_text(json);
}

}  // namespace evenfeed
