// SPDX-License-Identifier: MIT
// What turns ranges of small normal samples into an estimate of sigma (ISO
// 7870-2, table of factors; computed, not tabulated).
#pragma once

namespace evenfeed {

/// E(range) / sigma for n >= 2: the integral of 1 - Phi^n - (1 - Phi)^n.
/// 2 / sqrt(pi) for n = 2.
double d2_factor(int n);
/// sd(range) / sigma for n >= 2. sqrt(2 - 4 / pi) for n = 2.
double d3_factor(int n);

}  // namespace evenfeed
