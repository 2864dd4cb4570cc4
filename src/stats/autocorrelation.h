// SPDX-License-Identifier: MIT
// How much a value says about the next one.
#pragma once

#include <span>

namespace evenfeed {

/// Lag-1 autocorrelation sum (x_i - m)(x_{i+1} - m) / sum (x_i - m)^2 (Box
/// and Jenkins; NIST/SEMATECH e-Handbook 1.3.5.12). Pairs with a value that
/// is not finite are left out of the numerator, which is then scaled up to
/// the pairs that a series without gaps has. NaN below 3 finite values or
/// when all are equal.
double lag1_autocorrelation(std::span<const double> values);

/// `r` when it is larger than `quantile` / sqrt(n), what chance allows at a
/// one-sided level (1.645: 5 %), else 0. Never above 0.9.
double credible_autocorrelation(double r, int n, double quantile = 1.645);

/// How many times larger the variance of the mean of many values is than that
/// of as many independent ones, when the autocorrelation falls off from `lag1`
/// geometrically: (1 + lag1) / (1 - lag1), the sum over all lags of lag1^|k|
/// (from memory: Bartlett 1946; the test computes it another way).
[[nodiscard]] double variance_inflation(double lag1);
/// Its root: of a standard error.
[[nodiscard]] double error_inflation(double lag1);

}  // namespace evenfeed
