// SPDX-License-Identifier: MIT
// The launchers of the random worlds, aimed so that most feeds pass the net
// and bounce on the receiving half.
#pragma once

#include "bench/draws.h"
#include "simulate/ball_path.h"

namespace evenfeed {

/// The mean feed of a launcher: where it lands and how it comes to the end.
struct MeanFeed {
  double t_bounce_s = 0;  ///< after the launch
  double t_end_s = 0;     ///< at the sample's plane; NaN when it falls short
  double end_y_m = 0;
  double end_z_m = 0;
};

/// Draws all settings but the interval, and aims; `to_middle`: so that the
/// balls reach the sample's plane near its middle. `spin` false: hardly any.
/// `world` has no sample present; its sample plane is where the end is read.
MeanFeed draw_launcher(const World& world,
                       Draws& draws,
                       bool spin,
                       bool to_middle,
                       LauncherOptions& launcher);

}  // namespace evenfeed
