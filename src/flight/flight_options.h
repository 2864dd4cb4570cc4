// SPDX-License-Identifier: MIT
// What the flight fit believes before it has seen a ball: priors from the
// profile, each a value and a standard deviation.
#pragma once

#include "base/toml_file.h"
#include "geometry/surface.h"

#include <cmath>
#include <optional>
#include <string>

#include <Eigen/Core>

namespace evenfeed {

/// What is believed of a quantity: its value, give or take sd.
struct Prior {
  double mean = 0;
  double sd = 1;
};

/// Where feeds leave the launcher: the height at which they pass a plane
/// across the table. Known only when a session has shown it.
struct LaunchHeight {
  double plane_x_m = 0;
  Prior z_m;
};

/// A place that a flight is known to have passed on its first arc.
struct KnownPassage {
  double t_s = 0;
  Eigen::Vector3d x_m = Eigen::Vector3d::Zero();
  Eigen::Matrix3d root_information = Eigen::Matrix3d::Zero();  ///< 1/m
};

/// What a ball cannot fly through: the table's top, z = 0 in its frame, about
/// its centre; the floor lies below it. Defaults: ITTF Laws 2.1.1.
struct TableTop {
  double half_length_m = 1.37;
  double half_width_m = 0.7625;
  double floor_z_m = -0.76;

  /// Within `margin_m` of it, that is.
  bool covers(const Eigen::Vector2d& place_m, double margin_m = 0) const {
    return std::abs(place_m.x()) < half_length_m + margin_m &&
           std::abs(place_m.y()) < half_width_m + margin_m;
  }
};
TableTop table_top(const Surface& surface);
/// How the launcher is set to spin its balls, as the user says.
enum class Spin { kUnknown, kTop, kBack, kNone };

/// "top", "back", "none", "unknown"; nullopt for any other word.
[[nodiscard]] std::optional<Spin> spin_of(const std::string& word);

struct FlightOptions {
  TableTop table;
  Ball ball;                        ///< radius and mass
  double air_density_kgpm3 = 1.20;  ///< 20 degrees C at sea level
  double temperature_C = 20;        ///< of the room: how fast sound is
  Prior drag{0.50, 0.05};           ///< drag coefficient Cd
  Prior lift_in{0, 0.20};  ///< lift coefficient before the bounce, up positive
  Prior lift_out{0, 0.20};
  Prior lift_any{0, 0.20};      ///< of a ball whose spin nobody knows: a return
  Prior side_lift_in{0, 0.10};  ///< the same sideways, left positive
  Prior side_lift_out{0, 0.10};
  Prior restitution{0.92, 0.05};  ///< normal, with air drag in the model
  std::optional<LaunchHeight> launch_height;
  std::optional<KnownPassage> passage;
  /// The bounce is held to come no sooner, and no later.
  std::optional<double> no_bounce_before_s, no_bounce_after_s;
  double friction = 0.22;  ///< ball on table, sliding
  Prior kick{0, 0.20};     ///< beyond its no-spin value: spin is free
  Prior turn{0, 0.10};     ///< of the heading at the bounce, rad, left positive
  /// How the balls of one session differ, sd, before any is seen: taken from
  /// the limits a ball is made to.
  double drag_between = 0.007;
  double restitution_between = 0.010;
  /// Of anything that is a ball. No launcher throws faster, and a fit that
  /// does has run away: the cap only has to lie beyond what is played.
  double fastest_mps = 40;
  double outlier_sigma = 4.0;     ///< a sighting further off is not used,
  double least_outlier_px = 1.0;  ///< unless it is nearer than this

  /// Acceleration by drag per Cd and (m/s)^2: rho A / (2 m), in 1/m.
  double air_per_m() const;
  void check() const;
  /// Believes of lift what a ball with such spin has; kUnknown takes back what
  /// was believed before.
  void believe_spin(Spin spin);
};

/// Reads [ball] and [flight] of a profile.
[[nodiscard]] FlightOptions load_flight_options(const TomlTable& profile_root);

}  // namespace evenfeed
