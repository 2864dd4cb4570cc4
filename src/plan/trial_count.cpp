// SPDX-License-Identifier: MIT
#include "plan/trial_count.h"

#include "base/check.h"
#include "base/error.h"
#include "base/whole_number.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace evenfeed {
namespace {

TrialCount with_discards(double pairs, double paired_share) {
  require_in_range(paired_share, 0.01, 1, "paired share");
  TrialCount count;
  count.pairs = std::ceil(pairs);
  // 60 / 0.6 must not become 101 by rounding.
  count.trials = std::ceil(count.pairs / paired_share - 1e-9);
  return count;
}

}  // namespace

TrialCount count_for_difference(double difference,
                                double sd,
                                double paired_share,
                                const TestAim& aim) {
  require_positive(difference, "difference");
  require_positive(sd, "sd");
  return with_discards(paired_t_size(difference / sd, aim), paired_share);
}

TrialCount count_for_shares(double share_a,
                            double share_b,
                            double correlation,
                            double paired_share,
                            const TestAim& aim) {
  require_in_range(share_a, 0, 1, "rate");
  require_in_range(share_b, 0, 1, "rate");
  require_in_range(correlation, -0.99, 0.99, "correlation");
  const double difference = std::abs(share_a - share_b);
  if (difference == 0) {
    throw UsageError(
        "the two rates are the same: give those you want to tell apart");
  }
  const double spread =
      std::sqrt(share_a * (1 - share_a) * share_b * (1 - share_b));
  const double discordant =
      std::clamp(share_a * (1 - share_b) + share_b * (1 - share_a) -
                     2 * correlation * spread,
                 difference,
                 1.0);
  return with_discards(mcnemar_size(discordant, difference, aim), paired_share);
}

TrialCount count_for_discordant(double difference,
                                double discordant,
                                double paired_share,
                                const TestAim& aim) {
  require_in_range(difference, 1e-6, 1, "difference");
  require_in_range(discordant, 0, 1, "discordant");
  return with_discards(
      mcnemar_size(std::max(discordant, difference), difference, aim),
      paired_share);
}

double unpaired_count(double share_a, double share_b, const TestAim& aim) {
  return std::ceil(two_share_size(share_a, share_b, aim));
}

Pilot read_pilot(const std::string& json,
                 const std::string& name,
                 const std::string& outcome) {
  const auto refuse = [&](const std::string& problem) -> InputError {
    return {name, problem, "Give the effect.json that 'evenfeed pair' wrote"};
  };
  const auto whole = [&](const nlohmann::json& object, const char* key) {
    const auto number = whole_number(object.at(key).get<double>());
    if (!number) throw refuse(fmt::format("'{}' is not a whole number", key));
    return *number;
  };
  const auto root = nlohmann::json::parse(json, nullptr, false);
  if (root.is_discarded() || !root.is_object()) {
    throw refuse("this is not JSON");
  }
  try {
    std::string known;
    for (const auto& effect : root.at("effects")) {
      const auto own = effect.at("outcome").get<std::string>();
      known += (known.empty() ? "" : ", ") + own;
      if (!outcome.empty() && own != outcome) continue;
      Pilot pilot;
      pilot.outcome = own;
      pilot.pairs = whole(effect, "sets");
      pilot.yes_no = effect.contains("share_a");
      if (pilot.yes_no) {
        const auto& pairs = effect.at("pairs");
        const int disagree = whole(pairs, "only_a") + whole(pairs, "only_b");
        pilot.discordant = static_cast<double>(disagree) / pilot.pairs;
      }
      const auto& matched = effect.at("matched");
      if (!matched.is_object() || pilot.pairs < 2) {
        throw refuse(own + " has no estimate in it");
      }
      if (!pilot.yes_no) {
        // What the films leave uncertain is no scatter of pairs.
        const double se = matched.at("se").get<double>();
        pilot.films =
            std::clamp(effect.value("films_uncertainty", 0.0), 0.0, se);
        pilot.sd = std::sqrt((se * se - pilot.films * pilot.films) *
                             static_cast<double>(pilot.pairs));
      }
      int least = 0;
      for (const auto& sample : root.at("samples")) {
        const int used = whole(sample, "used");
        least = least == 0 ? used : std::min(least, used);
      }
      if (least < 1) throw refuse("its samples have no feeds");
      pilot.paired_share =
          std::clamp(static_cast<double>(pilot.pairs) / least, 0.01, 1.0);
      return pilot;
    }
    throw refuse(
        known.empty()
            ? "it has no effects"
            : fmt::format("it has no outcome '{}', but {}", outcome, known));
  } catch (const nlohmann::json::exception& error) {
    throw refuse(fmt::format("something is missing in it ({})", error.what()));
  }
}

}  // namespace evenfeed
