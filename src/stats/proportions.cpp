// SPDX-License-Identifier: MIT
#include "stats/proportions.h"

#include "base/check.h"
#include "stats/distributions.h"

#include <algorithm>
#include <cmath>

#include <boost/math/distributions/beta.hpp>
#include <boost/math/distributions/binomial.hpp>
#include <boost/math/distributions/hypergeometric.hpp>

namespace evenfeed {
namespace {

void check(Share share) {
  require(share.all >= 1 && share.yes >= 0 && share.yes <= share.all,
          "a share is 0 to n of n >= 1");
}

double two_sided_quantile(double confidence) {
  require(confidence > 0 && confidence < 1, "confidence within (0, 1)");
  return normal_quantile(0.5 + confidence / 2);
}

double square(double x) { return x * x; }

}  // namespace

Interval wilson_interval(Share share, double confidence) {
  check(share);
  const double z2 = square(two_sided_quantile(confidence));
  const double n = share.all;
  const double x = share.yes;
  const double centre = x + z2 / 2;
  const double half = std::sqrt(z2 * (x * (n - x) / n + z2 / 4));
  // The ends at 0 and n are exact; rounding must not move them.
  return {share.yes == 0 ? 0 : (centre - half) / (n + z2),
          share.yes == share.all ? 1 : (centre + half) / (n + z2)};
}

Interval clopper_pearson_interval(Share share, double confidence) {
  check(share);
  require(confidence > 0 && confidence < 1, "confidence within (0, 1)");
  const double tail = (1 - confidence) / 2;
  const double x = share.yes;
  const double n = share.all;
  using Beta = boost::math::beta_distribution<>;
  return {share.yes == 0 ? 0 : quantile(Beta(x, n - x + 1), tail),
          share.yes == share.all
              ? 1
              : quantile(complement(Beta(x + 1, n - x), tail))};
}

Interval newcombe_difference(Share a, Share b, double confidence) {
  const Interval of_a = wilson_interval(a, confidence);
  const Interval of_b = wilson_interval(b, confidence);
  const double difference = a.value() - b.value();
  return {difference - std::hypot(a.value() - of_a.low, of_b.high - b.value()),
          difference + std::hypot(of_a.high - a.value(), b.value() - of_b.low)};
}

Interval newcombe_paired_difference(const PairedCounts& counts,
                                    double confidence) {
  const int n = counts.pairs();
  const Share a{counts.both + counts.only_a, n};
  const Share b{counts.both + counts.only_b, n};
  const Interval of_a = wilson_interval(a, confidence);
  const Interval of_b = wilson_interval(b, confidence);
  const double margins = static_cast<double>(a.yes) * (n - a.yes) *
                         static_cast<double>(b.yes) * (n - b.yes);
  double phi = 0;
  if (margins > 0) {
    const double product = static_cast<double>(counts.both) * counts.neither -
                           static_cast<double>(counts.only_a) * counts.only_b;
    const double corrected =
        product > 0 ? std::max(product - n / 2.0, 0.0) : product;
    phi = corrected / std::sqrt(margins);
  }
  const double a_down = a.value() - of_a.low;
  const double a_up = of_a.high - a.value();
  const double b_down = b.value() - of_b.low;
  const double b_up = of_b.high - b.value();
  const double difference = counts.difference();
  return {difference - std::sqrt(square(a_down) - 2 * phi * a_down * b_up +
                                 square(b_up)),
          difference + std::sqrt(square(b_down) - 2 * phi * b_down * a_up +
                                 square(a_up))};
}

double mcnemar_exact_p(const PairedCounts& counts) {
  require(counts.only_a >= 0 && counts.only_b >= 0, "counts are not negative");
  const int discordant = counts.only_a + counts.only_b;
  if (discordant == 0) return 1;
  const int more = std::max(counts.only_a, counts.only_b);
  const boost::math::binomial_distribution<> chance(discordant, 0.5);
  const double tail = more == 0 ? 1 : cdf(complement(chance, more - 1));
  return std::min(1.0, 2 * tail);
}

double fisher_exact_p(Share a, Share b) {
  check(a);
  check(b);
  const int yes = a.yes + b.yes;
  const int all = a.all + b.all;
  if (yes == 0 || yes == all) return 1;
  const boost::math::hypergeometric_distribution<> tables(
      static_cast<unsigned>(yes),
      static_cast<unsigned>(a.all),
      static_cast<unsigned>(all));
  const double seen = pdf(tables, static_cast<unsigned>(a.yes));
  double p = 0;
  const int least = std::max(0, yes - b.all);
  const int most = std::min(yes, a.all);
  for (int x = least; x <= most; ++x) {
    const double here = pdf(tables, static_cast<unsigned>(x));
    // Tables as likely as the one seen must count despite rounding.
    if (here <= seen * (1 + 1e-7)) p += here;
  }
  return std::min(1.0, p);
}

}  // namespace evenfeed
