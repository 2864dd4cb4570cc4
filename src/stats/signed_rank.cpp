// SPDX-License-Identifier: MIT
#include "stats/signed_rank.h"

#include "base/check.h"
#include "stats/distributions.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace evenfeed {
namespace {

constexpr int kExactTest = 200;
constexpr int kExactInterval = 50;

// Chances of 2 V = 0, 1, ..., when the ranks are positive with chance p.
// Doubled, because tied ranks end in a half.
std::vector<double> distribution(const std::vector<double>& ranks, double p) {
  std::vector<double> chance{1};
  for (const double rank : ranks) {
    const auto step = static_cast<std::size_t>(std::lround(2 * rank));
    std::vector<double> next(chance.size() + step, 0);
    for (std::size_t i = 0; i < chance.size(); ++i) {
      next[i] += (1 - p) * chance[i];
      next[i + step] += p * chance[i];
    }
    chance = std::move(next);
  }
  return chance;
}

double upper_tail(const SignedRank& test, double larger, double p) {
  if (test.n <= kExactTest) {
    const std::vector<double> chance = distribution(test.ranks, p);
    double tail = 0;
    for (auto i = static_cast<std::size_t>(std::lround(2 * larger));
         i < chance.size();
         ++i) {
      tail += chance[i];
    }
    return tail;
  }
  double mean = 0;
  double variance = 0;
  for (const double rank : test.ranks) {
    mean += p * rank;
    variance += p * (1 - p) * rank * rank;
  }
  return normal_cdf(-(larger - 0.5 - mean) / std::sqrt(variance));
}

// The largest k >= 1 with P(V < k) <= tail, 0 when there is none: the k-th
// smallest Walsh average is then a lower limit.
long limit_index(int n, double tail) {
  if (n <= kExactInterval) {
    std::vector<double> ranks(static_cast<std::size_t>(n));
    std::iota(ranks.begin(), ranks.end(), 1.0);
    const std::vector<double> chance = distribution(ranks, 0.5);
    double below = 0;
    long k = 0;
    for (std::size_t v = 0; 2 * v < chance.size(); ++v) {
      below += chance[2 * v];
      if (below > tail) break;
      k = static_cast<long>(v) + 1;
    }
    return k;
  }
  const double count = n;
  const double mean = count * (count + 1) / 4;
  const double sd = std::sqrt(count * (count + 1) * (2 * count + 1) / 24);
  return std::max(1L, static_cast<long>(mean + normal_quantile(tail) * sd));
}

}  // namespace

SignedRank signed_rank(std::span<const double> differences) {
  std::vector<double> kept;
  for (const double d : differences) {
    require(std::isfinite(d), "signed_rank: differences are finite");
    if (d != 0) kept.push_back(d);
  }
  std::sort(kept.begin(), kept.end(), [](double a, double b) {
    return std::abs(a) < std::abs(b);
  });
  SignedRank result;
  result.n = static_cast<int>(kept.size());
  result.ok = result.n > 0;
  for (std::size_t i = 0; i < kept.size();) {
    std::size_t end = i;
    while (end < kept.size() && std::abs(kept[end]) == std::abs(kept[i])) ++end;
    const double rank = (static_cast<double>(i + end) + 1) / 2;
    for (; i < end; ++i) {
      result.ranks.push_back(rank);
      if (kept[i] > 0) result.positive += rank;
    }
  }
  return result;
}

double signed_rank_p(const SignedRank& test, double odds) {
  require(odds >= 1, "odds of at least 1");
  if (!test.ok) return 1;
  const double total =
      std::accumulate(test.ranks.begin(), test.ranks.end(), 0.0);
  const double larger = std::max(test.positive, total - test.positive);
  return std::min(1.0, 2 * upper_tail(test, larger, odds / (1 + odds)));
}

HodgesLehmann hodges_lehmann(std::span<const double> differences,
                             double confidence) {
  require(confidence > 0 && confidence < 1, "confidence within (0, 1)");
  const std::size_t n = differences.size();
  HodgesLehmann result;
  if (n == 0) {
    result.estimate = std::numeric_limits<double>::quiet_NaN();
    return result;
  }
  std::vector<double> walsh;
  walsh.reserve(n * (n + 1) / 2);
  for (std::size_t i = 0; i < n; ++i) {
    require(std::isfinite(differences[i]), "differences are finite");
    for (std::size_t j = i; j < n; ++j) {
      walsh.push_back((differences[i] + differences[j]) / 2);
    }
  }
  const auto nth = [&](std::size_t k) {
    const auto place = walsh.begin() + static_cast<std::ptrdiff_t>(k);
    std::nth_element(walsh.begin(), place, walsh.end());
    return *place;
  };
  const std::size_t m = walsh.size();
  result.estimate = (nth((m - 1) / 2) + nth(m / 2)) / 2;
  const long k = limit_index(static_cast<int>(n), (1 - confidence) / 2);
  constexpr double kInfinite = std::numeric_limits<double>::infinity();
  if (k < 1) {
    result.interval = {-kInfinite, kInfinite};
  } else {
    result.interval = {nth(static_cast<std::size_t>(k) - 1),
                       nth(m - static_cast<std::size_t>(k))};
  }
  return result;
}

}  // namespace evenfeed
