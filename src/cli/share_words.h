// SPDX-License-Identifier: MIT
// Success counts compared with each other, in words.
#pragma once

#include <string>
#include <vector>

namespace evenfeed {

/// `counts` like "11/20". Each share with its Wilson and exact interval; every
/// two with the difference, Newcombe's interval, Fisher's test (adjusted by
/// Holm) and whether they can be told apart. Throws UsageError for a count
/// that is none, or names that do not fit.
std::string share_words(const std::vector<std::string>& counts,
                        const std::vector<std::string>& names,
                        double confidence);

}  // namespace evenfeed
