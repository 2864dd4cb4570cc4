// SPDX-License-Identifier: MIT
#include "pipeline/frame_step.h"

#include <algorithm>
#include <cmath>
#include <random>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// Invented: balls seen for 30 frames every second, and strays, by a camera
// whose rows are read one after the other. In order of time.
std::vector<Sighting> seen_at(double fps,
                              double readout_s,
                              double strays_per_frame,
                              bool numbered) {
  std::mt19937_64 random(7);
  std::uniform_real_distribution<double> even(0, 1);
  std::vector<Sighting> all;
  const auto add = [&](int frame, double row) {
    Sighting s;
    s.t_s = frame / fps + row * readout_s;
    s.frame = numbered ? frame : -1;
    all.push_back(s);
  };
  for (int frame = 0; frame < static_cast<int>(20 * fps); ++frame) {
    const double ago = std::fmod(frame / fps, 1.0) * fps;
    if (ago < 30) add(frame, 0.3 + 0.01 * ago);
    if (even(random) < strays_per_frame) add(frame, even(random));
  }
  std::stable_sort(all.begin(), all.end(), [](const auto& a, const auto& b) {
    return a.t_s < b.t_s;
  });
  return all;
}

}  // namespace

TEST_CASE("the frame step is found under strays, pauses and a slow shutter") {
  for (const double fps : {25., 30., 59.94, 120., 240.}) {
    for (const double strays : {0., 0.05, 0.3, 1.}) {
      CAPTURE(fps);
      CAPTURE(strays);
      const double readout_s = std::min(0.012, 0.6 / fps);
      const double step_s =
          frame_step_s(seen_at(fps, readout_s, strays, false));
      CHECK(step_s == doctest::Approx(1 / fps).epsilon(0.03));
    }
  }
}

TEST_CASE("sightings are grouped by their numbers, or by time without them") {
  for (const bool numbered : {true, false}) {
    CAPTURE(numbered);
    auto all = seen_at(60, 0.004, 0.3, true);
    const auto truth = by_frames(all);
    CHECK(truth.size() > 600);
    for (const auto& frame : truth) {
      CHECK(frame.front().frame == frame.back().frame);
    }
    if (numbered) continue;
    for (Sighting& s : all) s.frame = -1;
    CHECK(by_frames(all).size() == truth.size());
  }
}

TEST_CASE("numbers that do not run with the time are not believed") {
  auto all = seen_at(60, 0.004, 0, true);
  for (Sighting& s : all) s.frame %= 60;  // counted anew in each feed
  const auto frames = by_frames(all);
  CHECK(frames.size() == all.size());
  for (std::size_t i = 1; i < frames.size(); ++i) {
    CHECK(frames[i].front().t_s > frames[i - 1].front().t_s);
  }
}

TEST_CASE("one sighting or none has no frame step") {
  CHECK(frame_step_s({}) == 0.001);
  CHECK(frame_step_s({Sighting{}}) == 0.001);
  CHECK(by_frames({}).empty());
}
