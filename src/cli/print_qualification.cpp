// SPDX-License-Identifier: MIT
#include "cli/print_qualification.h"

#include "base/counted.h"

#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// As the page's headline: what was steady may have changed since.
std::string change_words(const Qualification& result) {
  const int change =
      first_change(result.signals, result.ready_at_feed.value_or(0));
  if (change == 0 || result.count(Verdict::kReview) == 0) return "\n";
  return fmt::format(", but something changed about feed {}\n", change);
}

std::string headline(const Qualification& result) {
  if (result.ready && result.baseline_given) {
    return fmt::format(
               "READY: in control against the given baseline since feed {}",
               *result.stable_from_feed) +
           change_words(result);
  }
  if (result.ready) {
    return fmt::format("READY at feed {}, stable since feed {}",
                       *result.ready_at_feed,
                       *result.stable_from_feed) +
           change_words(result);
  }
  std::string text = result.too_few ? "NOT KNOWN YET\n" : "NOT READY\n";
  if (result.ready_at_feed) {
    text = fmt::format("NOT READY any more (it was at feed {})\n",
                       *result.ready_at_feed);
  }
  for (const std::string& one : result.holding_back) {
    text += "  " + one + "\n";
  }
  return text;
}

std::string evenness_words(const Qualification& result) {
  if (result.evenness.empty()) return "";
  std::string text = "evenness (sd):";
  bool limited = false;
  for (const Evenness& one : result.evenness) {
    const bool known = std::isfinite(one.allowed);
    limited |= known;
    text += fmt::format(
        "\n  {:<44} {:>12}{}",
        characteristic_words(one.characteristic),
        characteristic_value(one.characteristic, one.sd),
        known
            ? fmt::format(", {} allowed",
                          characteristic_value(one.characteristic, one.allowed))
            : ", no limit");
  }
  if (!limited && result.ready) {
    text += "\n  nothing was asked of the spread: ready means steady, not even";
  }
  return text + "\n";
}

}  // namespace

std::string qualification_words(const Qualification& result) {
  return verdict_words(result) + judgement_details(result);
}

std::string verdict_words(const Qualification& result) {
  return headline(result) + evenness_words(result) +
         fmt::format("{}: {} keep, {} review, {} discard\n",
                     counted(result.feeds, "feed"),
                     result.count(Verdict::kKeep),
                     result.count(Verdict::kReview),
                     result.count(Verdict::kDiscard));
}

std::string judgement_details(const Qualification& result) {
  std::string text;
  if (result.baseline.ok) {
    const Eigen::VectorXd sd = result.baseline.sd();
    text += fmt::format(
        "{} of {}:\n",
        result.baseline_provisional ? "all feeds, no baseline" : "baseline",
        counted(result.baseline.n, "feed"));
    for (Eigen::Index j = 0; j < sd.size(); ++j) {
      const std::string& name =
          result.characteristics[static_cast<std::size_t>(j)];
      text += fmt::format("  {:<44} mean {:>14}  sd {:>12}\n",
                          characteristic_words(name),
                          characteristic_value(name, result.baseline.mean(j)),
                          characteristic_value(name, sd(j)));
    }
  }
  for (const SettlingTime& one : result.settling) {
    text +=
        fmt::format("settling: {} with a time of {:.0f} feeds, {} at first\n",
                    characteristic_words(one.characteristic),
                    one.tau_feeds,
                    characteristic_value(one.characteristic, one.amplitude));
  }
  for (const BallEffect& one : result.balls) {
    text += fmt::format(
        "balls: {} sd {} between {} balls ({} to {}), {} launcher ({} to {})\n",
        characteristic_words(one.characteristic),
        characteristic_value(one.characteristic, one.ball.sd),
        one.balls,
        characteristic_value(one.characteristic, one.ball.low),
        characteristic_value(one.characteristic, one.ball.high),
        characteristic_value(one.characteristic, one.launcher.sd),
        characteristic_value(one.characteristic, one.launcher.low),
        characteristic_value(one.characteristic, one.launcher.high));
  }
  for (const std::string& one : result.warnings) {
    text += "warning: " + one + "\n";
  }
  return text;
}

}  // namespace evenfeed
