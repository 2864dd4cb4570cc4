// SPDX-License-Identifier: MIT
#include "simulate/sound_events.h"

#include "base/random.h"
#include "simulate/launcher_process.h"
#include "simulate/strays.h"
#include "simulate/true_feeds.h"

#include <algorithm>

namespace evenfeed {
namespace {

SoundKind kind_of(BallEventKind kind) {
  switch (kind) {
    case BallEventKind::kFloor:
      return SoundKind::kFloor;
    case BallEventKind::kSample:
      return SoundKind::kSample;
    case BallEventKind::kNet:
      return SoundKind::kNet;
    default:
      return SoundKind::kTable;
  }
}

void add_balls(const Scene& scene,
               std::uint64_t seed,
               std::vector<SoundEvent>& sounds) {
  for (const TrueBall& ball : true_balls(scene, seed)) {
    for (const BallEvent& event : ball.path.events()) {
      if (event.kind == BallEventKind::kSamplePlane) continue;  // only air
      const Eigen::Vector3d change = event.after.v_mps - event.before.v_mps;
      sounds.push_back({kind_of(event.kind),
                        event.t_s,
                        event.before.x_m,
                        std::abs(event.before.v_mps.dot(change.normalized()))});
    }
  }
}

// A ball drops into the tube, then the wheels grip it (invented data).
void add_launcher_sounds(const Scene& scene,
                         std::uint64_t seed,
                         std::vector<SoundEvent>& sounds) {
  std::normal_distribution<double> normal;
  std::size_t number = 0;
  for (const Launch& launch : launches(scene.launcher, seed)) {
    RandomEngine engine = derived_engine(seed, "clatter", number++);
    const Eigen::Vector3d mouth_m = scene.launcher.exit_m;
    sounds.push_back({SoundKind::kLauncher,
                      launch.t_s - 0.18 + 0.02 * normal(engine),
                      mouth_m,
                      1.0});
    sounds.push_back({SoundKind::kLauncher,
                      launch.t_s - 0.025 + 0.002 * normal(engine),
                      mouth_m,
                      2.0});
  }
}

void add_neighbours(const Scene& scene,
                    std::uint64_t seed,
                    std::vector<SoundEvent>& sounds) {
  if (scene.sound.neighbour_hz <= 0) return;
  RandomEngine engine = derived_engine(seed, "neighbours");
  std::exponential_distribution<double> wait_s(scene.sound.neighbour_hz);
  std::uniform_real_distribution<double> along_m(-1.2, 1.2);
  std::uniform_real_distribution<double> impact_mps(1, 4);
  const double end_s = film_duration_s(scene);
  for (double t_s = wait_s(engine); t_s < end_s; t_s += wait_s(engine)) {
    const Eigen::Vector3d place_m(along_m(engine), 5 + along_m(engine) / 2, 0);
    sounds.push_back({SoundKind::kNeighbour, t_s, place_m, impact_mps(engine)});
  }
}

}  // namespace

std::vector<SoundEvent> sound_events(const Scene& scene, std::uint64_t seed) {
  std::vector<SoundEvent> sounds;
  add_balls(scene, seed, sounds);
  add_launcher_sounds(scene, seed, sounds);
  add_neighbours(scene, seed, sounds);
  std::sort(
      sounds.begin(),
      sounds.end(),
      [](const SoundEvent& a, const SoundEvent& b) { return a.t_s < b.t_s; });
  return sounds;
}

}  // namespace evenfeed
