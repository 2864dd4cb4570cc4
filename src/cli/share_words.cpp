// SPDX-License-Identifier: MIT
#include "cli/share_words.h"

#include "base/check.h"
#include "base/error.h"
#include "session/json_text.h"
#include "stats/multiplicity.h"
#include "stats/proportions.h"

#include <charconv>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace evenfeed {
namespace {

using Json = nlohmann::ordered_json;

Share parse_share(const std::string& text) {
  const auto slash = text.find('/');
  Share share;
  const char* middle = text.data() + std::min(slash, text.size());
  const char* end = text.data() + text.size();
  const auto yes = std::from_chars(text.data(), middle, share.yes);
  const bool first = yes.ec == std::errc() && yes.ptr == middle;
  const auto all =
      middle == end ? std::from_chars_result{end, std::errc::invalid_argument}
                    : std::from_chars(middle + 1, end, share.all);
  const bool second = all.ec == std::errc() && all.ptr == end;
  if (!first || !second || share.all < 1 || share.yes < 0 ||
      share.yes > share.all) {
    throw UsageError(fmt::format(
        "--counts: '{}': write successes/trials, such as 11/20", text));
  }
  return share;
}

std::string percent(double share) {
  return fmt::format("{:.1f} %", 100 * share);
}

std::string percents(const Interval& interval) {
  return fmt::format("{} to {}", percent(interval.low), percent(interval.high));
}

}  // namespace

SharesCompared compare_shares(const std::vector<std::string>& counts,
                              const std::vector<std::string>& names,
                              double confidence) {
  require_in_range(confidence, 0.5, 0.999, "confidence");
  if (!names.empty() && names.size() != counts.size()) {
    throw UsageError(fmt::format(
        "--names: {} names for {} counts", names.size(), counts.size()));
  }
  SharesCompared out;
  out.confidence = confidence;
  std::vector<Share> shares;
  for (std::size_t i = 0; i < counts.size(); ++i) {
    const Share share = parse_share(counts[i]);
    shares.push_back(share);
    out.shares.push_back({counts[i],
                          names.empty() ? "" : names[i],
                          share.value(),
                          wilson_interval(share, confidence),
                          clopper_pearson_interval(share, confidence)});
  }
  std::vector<double> p;
  for (std::size_t i = 0; i < shares.size(); ++i) {
    for (std::size_t j = i + 1; j < shares.size(); ++j) {
      SharePair pair;
      pair.a = i;
      pair.b = j;
      pair.difference = shares[i].value() - shares[j].value();
      pair.interval = newcombe_difference(shares[i], shares[j], confidence);
      pair.p = fisher_exact_p(shares[i], shares[j]);
      p.push_back(pair.p);
      out.pairs.push_back(pair);
    }
  }
  const std::vector<double> adjusted = holm_adjusted(p);
  for (std::size_t k = 0; k < adjusted.size(); ++k) {
    out.pairs[k].adjusted_p = adjusted[k];
    out.pairs[k].differ = adjusted[k] <= 1 - confidence;
  }
  return out;
}

std::string shares_words(const SharesCompared& compared) {
  std::string text;
  for (const CountedShare& one : compared.shares) {
    text += fmt::format("{}{}{}: {}, {:.0f} % interval {} (exact {})\n",
                        one.name,
                        one.name.empty() ? "" : " ",
                        one.counts,
                        percent(one.share),
                        100 * compared.confidence,
                        percents(one.wilson),
                        percents(one.exact));
  }
  const auto called = [&](std::size_t i) {
    const CountedShare& one = compared.shares[i];
    return one.name.empty() ? one.counts : one.name;
  };
  for (const SharePair& one : compared.pairs) {
    text += fmt::format(
        "{} and {} {}: difference {}, interval {}; exact p {:.2g}{}\n",
        called(one.a),
        called(one.b),
        one.differ ? "differ" : "cannot be told apart",
        percent(one.difference),
        percents(one.interval),
        one.p,
        compared.pairs.size() > 1
            ? fmt::format(", {:.2g} for all comparisons together",
                          one.adjusted_p)
            : "");
  }
  return text;
}

std::string shares_json(const SharesCompared& compared) {
  const auto ends = [](const Interval& one) {
    return Json::array({one.low, one.high});
  };
  Json json{{"confidence", compared.confidence},
            {"shares", Json::array()},
            {"pairs", Json::array()}};
  for (const CountedShare& one : compared.shares) {
    json["shares"].push_back(
        {{"name", one.name.empty() ? Json(nullptr) : Json(one.name)},
         {"counts", one.counts},
         {"share", one.share},
         {"interval", ends(one.wilson)},
         {"exact_interval", ends(one.exact)}});
  }
  for (const SharePair& one : compared.pairs) {
    json["pairs"].push_back({{"a", compared.shares[one.a].counts},
                             {"b", compared.shares[one.b].counts},
                             {"difference", one.difference},
                             {"interval", ends(one.interval)},
                             {"p", one.p},
                             {"adjusted_p", one.adjusted_p},
                             {"differ", one.differ}});
  }
  return json_text(json);
}

}  // namespace evenfeed
