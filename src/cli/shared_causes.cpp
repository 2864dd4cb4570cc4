// SPDX-License-Identifier: MIT
#include "cli/shared_causes.h"

#include "base/sha256.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace evenfeed {
namespace {

std::string whose(CauseOf of,
                  const SessionHead& head,
                  const std::string& bench) {
  switch (of) {
    case CauseOf::kBalls:
      return head.ball_set;
    case CauseOf::kLauncher:
      return head.launcher;
    case CauseOf::kCamera:
      return "bench " + bench;
    case CauseOf::kSample:
      return {};
    case CauseOf::kFilm:
      break;
  }
  return "film " + head.source.sha256;
}

double median_returned(const std::vector<Feed>& feeds, ReturnValue id) {
  std::vector<double> values;
  for (const Feed& feed : feeds) {
    const double value = feed.returned[static_cast<std::size_t>(id)].value;
    if (std::isfinite(value)) values.push_back(value);
  }
  return values.empty() ? 0 : median(values);
}

// A film that plays slower than it was taken has all returns slower too.
void add_clock(const SessionFit& fit, SharedUncertainty& shared) {
  const auto clock = std::find_if(
      shared.causes.begin(), shared.causes.end(), [](const auto& one) {
        return one.name == kFilmsClock;
      });
  if (clock == shared.causes.end()) return;
  for (const auto& [id, way] : {std::pair{ReturnValue::kSpeed, 1},
                                std::pair{ReturnValue::kNetTime, -1}}) {
    const std::string column(
        return_values()[static_cast<std::size_t>(id)].column);
    const double moves =
        way * fit.common.clock * median_returned(fit.feeds, id);
    clock->moves[column] = moves;
    shared.sigma[column] = std::hypot(shared.sigma[column], moves);
  }
}

}  // namespace

SharedUncertainty shared_uncertainty(const SessionFit& fit,
                                     const Provenance& from,
                                     const std::string& bench) {
  const CommonErrors& errors = fit.common;
  const std::string known_as = sha256_of(bench);
  SharedUncertainty shared;
  for (const CharacteristicInfo& about : characteristics()) {
    shared.sigma[std::string(about.column)] =
        errors.sigma[static_cast<std::size_t>(about.id)];
  }
  for (const ReturnValueInfo& about : return_values()) {
    const double sigma =
        errors.sigma_returned[static_cast<std::size_t>(about.id)];
    if (std::isfinite(sigma)) shared.sigma[std::string(about.column)] = sigma;
  }
  shared.sigma["t_bounce_s"] = errors.st_bounce_s;
  for (const CommonCause& cause : errors.causes) {
    SharedCause told{cause.name,
                     whose(cause.of, from.head, known_as),
                     cause.believed.mean,
                     cause.believed.sd,
                     cause.spread,
                     {}};
    for (const CharacteristicInfo& about : characteristics()) {
      const double moves = cause.moves[static_cast<std::size_t>(about.id)];
      if (moves != 0) told.moves[std::string(about.column)] = moves;
    }
    for (const ReturnValueInfo& about : return_values()) {
      const double moves =
          cause.moves_returned[static_cast<std::size_t>(about.id)];
      if (moves != 0) told.moves[std::string(about.column)] = moves;
    }
    shared.causes.push_back(std::move(told));
  }
  add_clock(fit, shared);
  return shared;
}

}  // namespace evenfeed
