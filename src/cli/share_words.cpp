// SPDX-License-Identifier: MIT
#include "cli/share_words.h"

#include "base/check.h"
#include "base/error.h"
#include "stats/multiplicity.h"
#include "stats/proportions.h"

#include <charconv>

#include <fmt/format.h>

namespace evenfeed {
namespace {

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

std::string share_words(const std::vector<std::string>& counts,
                        const std::vector<std::string>& names,
                        double confidence) {
  require_in_range(confidence, 0.5, 0.999, "confidence");
  if (!names.empty() && names.size() != counts.size()) {
    throw UsageError(fmt::format(
        "--names: {} names for {} counts", names.size(), counts.size()));
  }
  std::vector<Share> shares;
  std::string text;
  for (std::size_t i = 0; i < counts.size(); ++i) {
    const Share share = parse_share(counts[i]);
    shares.push_back(share);
    text += fmt::format("{}{}: {}, {:.0f} % interval {} (exact {})\n",
                        names.empty() ? "" : names[i] + " ",
                        counts[i],
                        percent(share.value()),
                        100 * confidence,
                        percents(wilson_interval(share, confidence)),
                        percents(clopper_pearson_interval(share, confidence)));
  }
  std::vector<double> p;
  for (std::size_t i = 0; i < shares.size(); ++i) {
    for (std::size_t j = i + 1; j < shares.size(); ++j) {
      p.push_back(fisher_exact_p(shares[i], shares[j]));
    }
  }
  const std::vector<double> adjusted = holm_adjusted(p);
  const auto called = [&](std::size_t i) {
    return names.empty() ? counts[i] : names[i];
  };
  std::size_t k = 0;
  for (std::size_t i = 0; i < shares.size(); ++i) {
    for (std::size_t j = i + 1; j < shares.size(); ++j, ++k) {
      text += fmt::format(
          "{} and {} {}: difference {}, interval {}; exact p {:.2g}{}\n",
          called(i),
          called(j),
          adjusted[k] <= 1 - confidence ? "differ" : "can not be told apart",
          percent(shares[i].value() - shares[j].value()),
          percents(newcombe_difference(shares[i], shares[j], confidence)),
          p[k],
          p.size() > 1 ? fmt::format(", {:.2g} for all comparisons together",
                                     adjusted[k])
                       : "");
    }
  }
  return text;
}

}  // namespace evenfeed
