// SPDX-License-Identifier: MIT
// The baseline as a JSON file.
#include "quality/baseline_file.h"

#include "base/error.h"
#include "base/whole_number.h"
#include "quality/baseline.h"
#include "session/json_text.h"
#include "stats/covariance.h"

#include <cmath>

#include <nlohmann/json.hpp>

namespace evenfeed {
namespace {

using Json = nlohmann::ordered_json;

constexpr const char* kFormat = "evenfeed baseline 1";
constexpr const char* kMend =
    "Give a file that 'evenfeed qualify --baseline-out' wrote";

Json list(const Eigen::VectorXd& values) {
  return Json(std::vector<double>(values.begin(), values.end()));
}

Eigen::VectorXd vector_of(const Json& json, std::size_t size) {
  const auto values = json.get<std::vector<double>>();
  if (values.size() != size) throw InputError("a list of another length");
  return Eigen::Map<const Eigen::VectorXd>(
      values.data(), static_cast<Eigen::Index>(values.size()));
}

Baseline from_json(const Json& json) {
  if (json.at("format") != kFormat) throw InputError("another format");
  Baseline baseline;
  baseline.characteristics =
      json.at("characteristics").get<std::vector<std::string>>();
  const std::size_t size = baseline.characteristics.size();
  const auto n = whole_number(json.at("n").get<double>());
  if (!n) throw std::runtime_error("n is not a whole number");
  baseline.n = *n;
  baseline.mean = vector_of(json.at("mean"), size);
  baseline.lag1 = vector_of(json.at("lag1"), size);
  if (json.contains("tails")) baseline.tails = json.at("tails").get<double>();
  if (!std::isnan(baseline.tails) && !(baseline.tails > 4)) {
    throw InputError("tails of 4 degrees of freedom or fewer");
  }
  const auto p = static_cast<Eigen::Index>(size);
  baseline.covariance.resize(p, p);
  if (json.at("covariance").size() != size) throw InputError("not square");
  for (Eigen::Index i = 0; i < p; ++i) {
    baseline.covariance.row(i) =
        vector_of(json.at("covariance").at(static_cast<std::size_t>(i)), size)
            .transpose();
  }
  if (!baseline.covariance.isApprox(baseline.covariance.transpose(), 1e-9)) {
    throw InputError("a covariance that is not symmetric");
  }
  baseline.joint = regular_columns(baseline.covariance);
  if (baseline.joint.empty() ||
      baseline.n <= static_cast<int>(baseline.joint.size()) + 2) {
    throw InputError("too few feeds for its characteristics");
  }
  baseline.ok = true;
  return baseline;
}

}  // namespace

std::string baseline_text(const Baseline& baseline) {
  Json json;
  json["format"] = kFormat;
  json["characteristics"] = baseline.characteristics;
  json["n"] = baseline.n;
  json["mean"] = list(baseline.mean);
  json["lag1"] = list(baseline.lag1);
  if (!std::isnan(baseline.tails)) json["tails"] = baseline.tails;
  json["covariance"] = Json::array();
  for (Eigen::Index i = 0; i < baseline.covariance.rows(); ++i) {
    json["covariance"].push_back(list(baseline.covariance.row(i).transpose()));
  }
  return json_text(json);
}

Baseline parse_baseline(const std::string& text, const std::string& name) {
  try {
    return from_json(Json::parse(text));
  } catch (const std::exception& error) {
    throw InputError(
        name, std::string("not a baseline: ") + error.what(), kMend);
  }
}

}  // namespace evenfeed
