// SPDX-License-Identifier: MIT
#include "charts/ewma.h"

#include "base/check.h"
#include "stats/autocorrelation.h"

#include <cmath>

namespace evenfeed {

void EwmaDesign::check() const {
  require_in_range(lambda, 1e-6, 1, "ewma lambda");
  require_positive(width, "ewma width");
  require_in_range(autocorrelation, -0.99, 0.99, "ewma autocorrelation");
}

EwmaChart::EwmaChart(double centre, double sigma, const EwmaDesign& design)
    : centre_(centre), sigma_(sigma), design_(design) {
  design_.check();
  require_finite(centre, "ewma centre");
  require_not_negative(sigma, "ewma sigma");
  last_.value = centre;
}

double EwmaChart::half_width() const {
  const double lambda = design_.lambda;
  const double memory = design_.autocorrelation * (1 - lambda);
  const double growth = design_.growing_limits ? 1 - decay_ : 1;
  const double variance =
      lambda / (2 - lambda) * growth * variance_inflation(memory);
  return design_.width * sigma_ * std::sqrt(variance);
}

EwmaPoint EwmaChart::add(double value) {
  if (!std::isfinite(value)) {
    EwmaPoint held = last_;
    held.signal = false;
    return held;
  }
  const double keep = 1 - design_.lambda;
  last_.value = design_.lambda * value + keep * last_.value;
  decay_ *= keep * keep;
  last_.lower = centre_ - half_width();
  last_.upper = centre_ + half_width();
  last_.signal = last_.value < last_.lower || last_.value > last_.upper;
  return last_;
}

double EwmaChart::share_of_limit() const {
  if (!std::isfinite(last_.upper)) return 0;
  const double distance = std::abs(last_.value - centre_);
  return distance == 0 ? 0 : distance / (last_.upper - centre_);
}

}  // namespace evenfeed
