// SPDX-License-Identifier: MIT
#include "wear/session_memory.h"

#include "base/check.h"
#include "stats/autocorrelation.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace evenfeed {
namespace {

// Fewer pairs of one set-up say nothing about each other.
constexpr int kFewestPairs = 8;
constexpr double kMostMemory = 0.9;  // as of a series that is not parted

struct SetupMean {
  double mean = 0;
  int sessions = 0;
};

std::vector<SetupMean> means_of(const std::vector<double>& residuals,
                                const std::vector<int>& setups) {
  const int most = *std::max_element(setups.begin(), setups.end());
  std::vector<SetupMean> means(static_cast<std::size_t>(most) + 1);
  for (std::size_t i = 0; i < residuals.size(); ++i) {
    if (!std::isfinite(residuals[i])) continue;
    SetupMean& one = means[static_cast<std::size_t>(setups[i])];
    one.mean += residuals[i];
    ++one.sessions;
  }
  for (SetupMean& one : means) {
    one.mean = one.sessions > 0 ? one.mean / one.sessions
                                : std::numeric_limits<double>::quiet_NaN();
  }
  return means;
}

// Sums over sessions of a set-up, about its mean: of neighbours' products and
// of squares.
struct Sums {
  double products = 0;
  double squares = 0;
  double ratio() const { return products / squares; }
};

// What is expected of `sessions` of unit variance, each of which keeps `memory`
// of the one before: with c_i the covariance of session i with the mean and v
// the mean's variance, squares of 1 - 2 c_i + v, products of memory - c_i -
// c_(i+1) + v.
Sums expected_of(int sessions, double memory) {
  const auto with_mean = [&](int i) {
    const auto tail = [&](int n) {
      return (1 - std::pow(memory, n)) / (1 - memory);
    };
    return (tail(i + 1) + tail(sessions - i) - 1) / sessions;
  };
  double of_mean = 0;
  for (int i = 0; i < sessions; ++i) of_mean += with_mean(i) / sessions;
  Sums sums;
  for (int i = 0; i < sessions; ++i) {
    sums.squares += 1 - 2 * with_mean(i) + of_mean;
    if (i + 1 == sessions) continue;
    sums.products += memory - with_mean(i) - with_mean(i + 1) + of_mean;
  }
  return sums;
}

double memory_within(const std::vector<double>& residuals,
                     const std::vector<int>& setups,
                     const std::vector<SetupMean>& means) {
  Sums seen;
  int pairs = 0;
  for (std::size_t i = 0; i < residuals.size(); ++i) {
    const SetupMean& setup = means[static_cast<std::size_t>(setups[i])];
    if (!std::isfinite(residuals[i]) || setup.sessions < 2) continue;
    const double left = residuals[i] - setup.mean;
    seen.squares += left * left;
    if (i == 0 || setups[i - 1] != setups[i] ||
        !std::isfinite(residuals[i - 1])) {
      continue;
    }
    seen.products += left * (residuals[i - 1] - setup.mean);
    ++pairs;
  }
  if (pairs < kFewestPairs || !(seen.squares > 0)) return 0;
  const auto expected = [&](double memory) {
    Sums all;
    for (const SetupMean& one : means) {
      if (one.sessions < 2) continue;
      const Sums of_one = expected_of(one.sessions, memory);
      all.products += of_one.products;
      all.squares += of_one.squares;
    }
    return all.ratio();
  };
  const double r = seen.ratio() - expected(0);
  if (credible_autocorrelation(r, pairs, 1) == 0) return 0;
  double low = 0;
  double high = kMostMemory;
  while (high - low > 1e-4) {
    const double middle = 0.5 * (low + high);
    (expected(middle) < seen.ratio() ? low : high) = middle;
  }
  return low;
}

}  // namespace

double session_memory(const std::vector<double>& residuals, int unknowns) {
  const auto n = static_cast<int>(residuals.size());
  const double r = lag1_autocorrelation(residuals);
  return credible_autocorrelation(r + (unknowns + 4 * r) / n, n, 1);
}

double setup_memory(const std::vector<double>& residuals,
                    const std::vector<int>& setups,
                    bool between_setups,
                    int unknowns) {
  require(residuals.size() == setups.size() && !setups.empty(),
          "residuals and set-ups differ in number");
  const std::vector<SetupMean> means = means_of(residuals, setups);
  std::vector<double> of_setups;
  for (const SetupMean& one : means) of_setups.push_back(one.mean);
  return std::max(between_setups ? session_memory(of_setups, unknowns) : 0.0,
                  memory_within(residuals, setups, means));
}

}  // namespace evenfeed
