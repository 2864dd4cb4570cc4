// SPDX-License-Identifier: MIT
// A bench drawn at random: camera, launcher, ball, table and what stands at
// its end, within what people may have. Everything follows from one number.
#pragma once

#include "bench/world_camera.h"
#include "pipeline/profile.h"
#include "simulate/scene.h"

#include <string>

namespace evenfeed {

/// How well the ball is seen.
struct WorldEyes {
  double noise_px = 0.2;       ///< of a centre, per axis
  double stated_factor = 1;    ///< stated over true noise
  double missed_share = 0.02;  ///< of the sightings
  double outlier_share = 0;    ///< several px off
  double strays_per_frame = 0;
  double image_share = 0;  ///< of the pictures that show a ball's image too,
                           ///< in a glossy table
  double shake_share = 0;  ///< of the pictures beside a launch that show the
                           ///< launcher's edges as specks around its mouth
};

struct RandomWorld {
  std::uint64_t seed = 0;
  WorldView view;
  Scene scene;      ///< as things are; the camera is the view's
  Profile profile;  ///< what is given to measure
  Bench bench;      ///< likewise
  WorldEyes eyes;
  bool readout_known = true;
  bool exposure_known = true;
  bool sample_told = false;  ///< the profile's plane is the true one
  double topspin_revps = 0;
  double catch_x_m = 1e9;

  std::string words() const;  ///< one line
};

/// `easy`: 45 degrees, 1080p60, no spin, nothing that disturbs, all told right.
RandomWorld draw_world(const Profile& profile, std::uint64_t seed, bool easy);

}  // namespace evenfeed
