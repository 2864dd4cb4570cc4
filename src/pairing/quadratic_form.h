// SPDX-License-Identifier: MIT
// d' S^-1 d for many small S: Gauss' elimination of the symmetric S carried
// along with d. After step k the pivot s_kk is the variance of difference k
// given those before it, and d_k what they leave of it, so that
//   d' S^-1 d = sum d_k^2 / s_kk
// (the factors L D L' are never needed). No allocation; sizes up to 8 are
// unrolled by the compiler.
#pragma once

namespace evenfeed {

/// `s`: the lower triangle of a p x p matrix, row after row; `d`: p numbers.
/// Both are overwritten. Infinite when S is not positive definite.
double inverse_quadratic_form(double* s, double* d, int p);

}  // namespace evenfeed
