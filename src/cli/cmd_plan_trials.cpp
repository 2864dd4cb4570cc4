// SPDX-License-Identifier: MIT
#include "cli/cmd_plan_trials.h"

#include "base/atomic_file.h"
#include "base/counted.h"
#include "base/error.h"
#include "cli/print_words.h"
#include "session/json_text.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace evenfeed {
namespace {

using Json = nlohmann::ordered_json;

// Without a pilot, so many of the feeds are taken to find a partner.
constexpr double kUsualShare = 0.7;

std::string pilot_words(const Pilot& pilot) {
  std::string text = fmt::format("\nFrom a pilot of {} ({}).\n",
                                 counted(pilot.pairs, "pair"),
                                 pilot.outcome);
  if (pilot.films > 0) {
    text += fmt::format(
        "Its two films leave {:.2g} (1 sd) of the difference uncertain, "
        "which no number of pairs mends: film both samples in one session.\n",
        pilot.films);
  }
  if (pilot.pairs < 20) {
    text += "So few pairs know their scatter poorly: plan half as many more.\n";
  }
  return text;
}

}  // namespace

void PlanTrialsCommand::setup(Arguments& args) {
  args.add_option("--difference",
                  differences_,
                  "Differences to find, a,b,c, in the unit of the outcome "
                  "(yes/no: as shares, 0.2)")
      .comma_separated();
  args.add_option("--sd", sd_, "Standard deviation of the paired differences");
  args.add_option("--pilot",
                  pilot_,
                  "effect.json of an earlier comparison: its scatter and the "
                  "share that found partners")
      .takes("FILE");
  args.add_option("--outcome", outcome_, "Which outcome of the pilot")
      .takes("COLUMN");
  args.add_option("--rates", rates_, "Two success rates to tell apart, 0.6,0.8")
      .comma_separated()
      .count(2);
  args.add_option("--correlation",
                  correlation_,
                  "Of successes within a pair, with --rates")
      .show_default();
  args.add_option("--paired-share",
                  paired_share_,
                  "Share of the feeds that find a partner within calipers; "
                  "default: the pilot's, else 0.7");
  args.add_option("--alpha", alpha_, "Chance of a false alarm, two-sided")
      .show_default();
  args.add_option("--power", power_, "Chance to find the difference")
      .show_default();
  args.add_json(json_, "the counts");
  args.add_quiet(quiet_);
}

PlanTrialsCommand::Basis PlanTrialsCommand::basis() const {
  Basis basis;
  if (!pilot_.empty()) {
    basis.pilot = read_pilot(read_file(pilot_), pilot_, outcome_);
  }
  if ((sd_ != 0) + basis.pilot.has_value() + !rates_.empty() != 1) {
    throw UsageError("give one of --sd, --pilot or --rates");
  }
  if (rates_.empty() && differences_.empty()) {
    throw UsageError(
        "--difference is missing: which difference is to be found?");
  }
  basis.aim = {alpha_, power_};
  basis.aim.check();
  basis.share = paired_share_ != 0 ? paired_share_
                : basis.pilot      ? basis.pilot->paired_share
                                   : kUsualShare;
  return basis;
}

std::vector<PlanTrialsCommand::Wanted> PlanTrialsCommand::wanted(
    const Basis& basis) const {
  const auto& [pilot, aim, share] = basis;
  if (!rates_.empty()) {
    return {{fmt::format("{:g}, {:g}", rates_[0], rates_[1]),
             count_for_shares(rates_[0], rates_[1], correlation_, share, aim)}};
  }
  std::vector<Wanted> rows;
  for (const double difference : differences_) {
    rows.push_back(
        {fmt::format("{:g}", difference),
         pilot && pilot->yes_no
             ? count_for_discordant(difference, pilot->discordant, share, aim)
             : count_for_difference(
                   difference, pilot ? pilot->sd : sd_, share, aim)});
  }
  return rows;
}

std::string PlanTrialsCommand::as_json(const Basis& basis,
                                       const std::vector<Wanted>& rows,
                                       double unpaired) const {
  Json json{{"alpha", alpha_},
            {"power", power_},
            {"paired_share", basis.share},
            {"wanted", Json::array()}};
  for (const Wanted& one : rows) {
    json["wanted"].push_back(
        {{rates_.empty() ? "difference" : "rates", one.what},
         {"pairs", one.count.pairs},
         {"trials_per_sample", one.count.trials}});
  }
  if (unpaired > 0) json["unpaired_trials_per_sample"] = unpaired;
  return json_text(json);
}

std::string PlanTrialsCommand::as_words(const Basis& basis,
                                        const std::vector<Wanted>& rows,
                                        double unpaired) const {
  std::string text = fmt::format(
      "Two-sided, false alarms {:g} %, found with {:g} %; {:.0f} % of the "
      "feeds find a partner.\n\n{:>14}{:>8}{:>18}\n",
      100 * alpha_,
      100 * power_,
      100 * basis.share,
      rates_.empty() ? "difference" : "rates",
      "pairs",
      "trials per sample");
  for (const Wanted& one : rows) {
    text += fmt::format("{:>14}{:>8.0f}{:>18.0f}\n",
                        one.what,
                        one.count.pairs,
                        one.count.trials);
  }
  if (unpaired > 0) {
    text += fmt::format(
        "\nWithout pairs, all feeds alike: {:.0f} trials per sample.\n",
        unpaired);
  }
  if (basis.pilot) text += pilot_words(*basis.pilot);
  return text +
         "Add the feeds of the warm-up and of re-checks: 'evenfeed plan "
         "order'.\n";
}

int PlanTrialsCommand::run() {
  const Basis plan = basis();
  const std::vector<Wanted> rows = wanted(plan);
  const double unpaired =
      rates_.empty() ? 0 : unpaired_count(rates_[0], rates_[1], plan.aim);
  if (json_) {
    fmt::print("{}", as_json(plan, rows, unpaired));
  } else if (!quiet_) {
    print_words(as_words(plan, rows, unpaired));
  }
  return kExitDone;
}

}  // namespace evenfeed
