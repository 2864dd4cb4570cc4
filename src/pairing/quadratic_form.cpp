// SPDX-License-Identifier: MIT
#include "pairing/quadratic_form.h"

#include <limits>

namespace evenfeed {
namespace {

// P = 0: of any size.
template <int P>
double eliminate(double* s, double* d, int size) {
  const int p = P > 0 ? P : size;
  double sum = 0;
  for (int k = 0; k < p; ++k) {
    if (!(s[k * p + k] > 0)) return std::numeric_limits<double>::infinity();
    const double inverse = 1 / s[k * p + k];
    sum += d[k] * d[k] * inverse;
    for (int i = k + 1; i < p; ++i) {
      const double factor = s[i * p + k] * inverse;
      d[i] -= factor * d[k];
      for (int j = k + 1; j <= i; ++j) s[i * p + j] -= factor * s[j * p + k];
    }
  }
  return sum;
}

}  // namespace

double inverse_quadratic_form(double* s, double* d, int p) {
  switch (p) {
    case 1:
      return eliminate<1>(s, d, p);
    case 2:
      return eliminate<2>(s, d, p);
    case 3:
      return eliminate<3>(s, d, p);
    case 4:
      return eliminate<4>(s, d, p);
    case 5:
      return eliminate<5>(s, d, p);
    case 6:
      return eliminate<6>(s, d, p);
    case 7:
      return eliminate<7>(s, d, p);
    case 8:
      return eliminate<8>(s, d, p);
    default:
      return eliminate<0>(s, d, p);
  }
}

}  // namespace evenfeed
