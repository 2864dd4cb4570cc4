// SPDX-License-Identifier: MIT
// Crossings between the units of files and screens (mm, degrees, rev/s, km/h)
// and SI, used inside the maths. Every crossing calls one of these.
#pragma once

#include <numbers>

namespace evenfeed {

/// Conventional standard acceleration of gravity (3rd CGPM 1901).
inline constexpr double kGravity_mps2 = 9.80665;

constexpr double m_from_mm(double mm) { return mm * 1e-3; }
constexpr double mm_from_m(double m) { return m * 1e3; }
constexpr double s_from_ms(double ms) { return ms * 1e-3; }
constexpr double ms_from_s(double s) { return s * 1e3; }
constexpr double rad_from_deg(double deg) {
  return deg * std::numbers::pi / 180.0;
}
constexpr double deg_from_rad(double rad) {
  return rad * 180.0 / std::numbers::pi;
}
constexpr double radps_from_revps(double revps) {
  return revps * 2.0 * std::numbers::pi;
}

}  // namespace evenfeed
