// SPDX-License-Identifier: MIT
// Centre and spread of a batch of values, classical and robust.
//
// All of them: empty input or any value that is not finite gives NaN (leave
// those out first with finite_only()); a constant batch has spread 0.
#pragma once

#include <span>
#include <vector>

namespace evenfeed {

[[nodiscard]] std::vector<double> finite_only(std::span<const double> values);

double mean(std::span<const double> values);
/// Divisor n - 1; NaN for one value.
double standard_deviation(std::span<const double> values);
/// The middle value, or the mean of the two middle ones.
double median(std::span<const double> values);
/// Median absolute deviation from the median, times 1/Phi^-1(3/4) = 1.4826 so
/// that it estimates the sd of normal values. 0 for one value.
double median_absolute_deviation(std::span<const double> values);

}  // namespace evenfeed
