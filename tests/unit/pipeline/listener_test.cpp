// SPDX-License-Identifier: MIT
#include "pipeline/listener.h"

#include "base/toml_file.h"
#include "pipeline/measurement.h"
#include "pipeline/profile.h"

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("an ear is where the microphone was, in a room of its temperature") {
  CameraModel camera;
  camera.camera_from_table =
      look_at({0.4, -1.2, 2.3}, {0, 0, 0}, Eigen::Vector3d::UnitY());
  Profile profile;
  MeasureOptions options;
  const Ear usual = ear_of({{}, {}}, camera, profile, options);
  CHECK(usual.ticks.size() == 2);
  CHECK(usual.microphone_m.isApprox(Eigen::Vector3d(0.4, -1.2, 2.3), 1e-9));
  CHECK(usual.hearing.speed_of_sound_mps ==
        doctest::Approx(343.2).epsilon(1e-4));
  CHECK_FALSE(usual.at_sample);
  profile.flight.temperature_C = 5;  // 331.3 + 0.61 t: a usual approximation
  options.microphone_m = Eigen::Vector3d(1.4, 0, 0.3);
  options.microphone_at_sample = true;
  const Ear cold = ear_of({}, camera, profile, options);
  CHECK(cold.hearing.speed_of_sound_mps ==
        doctest::Approx(331.3 + 0.61 * 5).epsilon(1e-4));
  CHECK(cold.microphone_m == Eigen::Vector3d(1.4, 0, 0.3));
  CHECK(cold.at_sample);
}

TEST_CASE("nobody listens to slow motion, or when told not to") {
  MeasureOptions options;
  Listener deaf("absent.mp4", options, 8);
  CHECK_FALSE(deaf.ticks());
  CHECK(deaf.why_silent().empty());
  options.listen = true;
  Listener slow("absent.mp4", options, 8);
  CHECK_FALSE(slow.ticks());
  Listener lost("absent.mp4", options, 1);
  CHECK_FALSE(lost.ticks());
  CHECK(lost.why_silent() == "the film has no sound");
  CHECK(slow.why_silent().find("slow motion") != std::string::npos);
}
