// SPDX-License-Identifier: MIT
#include "flight/flight_options.h"

#include "base/check.h"

#include <numbers>
#include <string>

namespace evenfeed {

TableTop table_top(const Surface& surface) {
  return {
      surface.length_m / 2, surface.width_m / 2, -surface.height_above_floor_m};
}

std::optional<Spin> spin_of(const std::string& word) {
  if (word == "top") return Spin::kTop;
  if (word == "back") return Spin::kBack;
  if (word == "none") return Spin::kNone;
  if (word == "unknown") return Spin::kUnknown;
  return std::nullopt;
}

// Topspin presses a ball down, backspin carries it (Magnus force, up positive).
// A spinning ball has a lift coefficient of up to 0.16-0.25 over the playing
// range (Conti et al. 2026, arXiv:2606.28805), a hardly spinning one next to
// none: the middle, and wide enough for both ends. The table's friction turns
// every ball towards topspin (it acts backwards on the ball's underside), so
// topspin stays topspin; what becomes of backspin or of none depends on grip
// and speed, and stays as open as without a word.
void FlightOptions::believe_spin(Spin spin) {
  constexpr Prior kPressedDown{-0.12, 0.10}, kCarried{0.12, 0.10};
  constexpr Prior kHardly{0, 0.05};
  lift_in = lift_out = lift_any;
  if (spin == Spin::kTop) lift_in = lift_out = kPressedDown;
  if (spin == Spin::kBack) lift_in = kCarried;
  if (spin == Spin::kNone) lift_in = kHardly;
}

double FlightOptions::air_per_m() const {
  const double area_m2 = std::numbers::pi * ball.radius_m * ball.radius_m;
  return 0.5 * air_density_kgpm3 * area_m2 / ball.mass_kg;
}

void FlightOptions::check() const {
  ball.check();
  require_in_range(air_density_kgpm3, 0.5, 2, "air_density_kgpm3");
  require_in_range(temperature_C, -30, 60, "temperature_C");
  require_in_range(drag.mean, 0, 2, "drag");
  require_positive(drag.sd, "drag_sd");
  require_positive(lift_in.sd, "lift_sd");
  require_positive(lift_out.sd, "lift_sd");
  require_positive(lift_any.sd, "lift_sd");
  require_positive(side_lift_in.sd, "side_lift_sd");
  require_positive(side_lift_out.sd, "side_lift_sd");
  require_in_range(restitution.mean, 0.05, 1, "restitution");
  require_positive(restitution.sd, "restitution_sd");
  require_in_range(friction, 0, 2, "friction");
  require_positive(kick.sd, "kick_sd");
  require_positive(turn.sd, "turn_sd");
  require_positive(drag_between, "drag_between");
  require_positive(restitution_between, "restitution_between");
  require_in_range(fastest_mps, 1, 200, "fastest_mps");
  require_in_range(outlier_sigma, 2, 100, "outlier_sigma");
  require_not_negative(least_outlier_px, "least_outlier_px");
}

FlightOptions load_flight_options(const TomlTable& profile_root) {
  FlightOptions options;
  options.ball = load_ball(profile_root.table("ball"));
  const TomlTable flight = profile_root.table("flight");
  options.air_density_kgpm3 =
      flight.number("air_density_kgpm3", options.air_density_kgpm3);
  options.temperature_C = flight.number("temperature_C", options.temperature_C);
  const auto read = [&](const std::string& key, Prior& prior) {
    prior.mean = flight.number(key, prior.mean);
    prior.sd = flight.number(key + "_sd", prior.sd);
  };
  read("drag", options.drag);
  read("restitution", options.restitution);
  options.lift_any.sd = flight.number("lift_sd", options.lift_any.sd);
  const std::string word = flight.text("spin", "unknown");
  const std::optional<Spin> spin = spin_of(word);
  if (!spin) {
    flight.refuse("spin",
                  "'" + word + "' is no kind of spin",
                  "Allowed: top, back, none, unknown");
  }
  options.believe_spin(*spin);
  options.side_lift_in.sd =
      flight.number("side_lift_sd", options.side_lift_in.sd);
  options.side_lift_out.sd = options.side_lift_in.sd;
  options.friction = flight.number("friction", options.friction);
  flight.ignore("friction_sd");
  options.kick.sd = flight.number("kick_sd", options.kick.sd);
  options.drag_between = flight.number("drag_between", options.drag_between);
  options.restitution_between =
      flight.number("restitution_between", options.restitution_between);
  options.fastest_mps = flight.number("fastest_mps", options.fastest_mps);
  check_loaded(flight, options);
  return options;
}

}  // namespace evenfeed
