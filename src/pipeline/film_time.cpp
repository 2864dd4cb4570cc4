// SPDX-License-Identifier: MIT
#include "pipeline/film_time.h"

#include <cmath>

#include <fmt/format.h>

namespace evenfeed {

std::string film_time(double t_s) {
  const double whole_min = std::floor(t_s / 60);
  return fmt::format("{:.0f}:{:04.1f}", whole_min, t_s - 60 * whole_min);
}

}  // namespace evenfeed
