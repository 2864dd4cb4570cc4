// SPDX-License-Identifier: MIT
#include "charts/cusum.h"

#include "base/check.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {

void CusumDesign::check() const {
  require_not_negative(k, "cusum k");
  require_positive(h, "cusum h");
  require_in_range(head_start, 0, 0.99, "cusum head start");
}

CusumChart::CusumChart(double centre, double sigma, const CusumDesign& design)
    : centre_(centre), sigma_(sigma), design_(design) {
  design_.check();
  require_finite(centre, "cusum centre");
  require_not_negative(sigma, "cusum sigma");
  last_.up = last_.down = design_.head_start * design_.h;
}

CusumPoint CusumChart::add(double value) {
  if (!std::isfinite(value)) {
    CusumPoint held = last_;
    held.signal_up = held.signal_down = false;
    return held;
  }
  const double away = value - centre_;
  // 0 / 0 counts as no deviation.
  const double z = away == 0 ? 0 : away / sigma_;
  last_.up = std::max(0.0, last_.up + z - design_.k);
  last_.down = std::max(0.0, last_.down - z - design_.k);
  last_.since_up = last_.up > 0 ? last_.since_up + 1 : 0;
  last_.since_down = last_.down > 0 ? last_.since_down + 1 : 0;
  last_.signal_up = last_.up > design_.h;
  last_.signal_down = last_.down > design_.h;
  return last_;
}

}  // namespace evenfeed
