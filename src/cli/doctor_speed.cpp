// SPDX-License-Identifier: MIT
#include "cli/doctor_speed.h"

#include "base/error.h"
#include "cli/profile_lookup.h"
#include "film/video_source.h"
#include "live/live_run.h"
#include "simulate/film.h"
#include "simulate/scene.h"
#include "simulate/scene_file.h"

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <string>
#include <thread>

namespace evenfeed {

namespace fs = std::filesystem;

namespace {

using Clock = std::chrono::steady_clock;

// A bench as cameras mostly see one; its picture is made larger or smaller.
constexpr const char* kSpeedScene = "short640p60";

// A folder that goes when it is done with.
class ScratchFolder {
 public:
  ScratchFolder() {
    std::string made =
        (fs::temp_directory_path() / "evenfeed-doctor-XXXXXX").string();
    if (mkdtemp(made.data()) == nullptr) {
      throw InputError(fs::temp_directory_path().string(),
                       "nothing can be written there",
                       "Make room, or name another folder in TMPDIR");
    }
    path_ = made;
  }
  ~ScratchFolder() {
    std::error_code none;
    fs::remove_all(path_, none);
  }
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;
  const fs::path& path() const { return path_; }

 private:
  fs::path path_;
};

Scene second_of(const WantedSize& size, double rate_hz) {
  const NamedText text = find_scene(kSpeedScene);
  Scene scene = parse_scene(text.text, text.place, [&](std::string_view name) {
    const NamedText profile = find_profile_of(text.place, std::string(name));
    return TomlTable::parse(profile.text, profile.place);
  });
  CameraModel& camera = scene.camera.model;
  const double scale =
      std::min(static_cast<double>(size.width_px) / camera.width_px,
               static_cast<double>(size.height_px) / camera.height_px);
  camera.width_px = size.width_px;
  camera.height_px = size.height_px;
  camera.lens.focal_px *= scale;
  camera.lens.centre_u_px = (size.width_px - 1) / 2.0;
  camera.lens.centre_v_px = (size.height_px - 1) / 2.0;
  scene.camera.fps = rate_hz;
  scene.launcher.feeds = 2;
  scene.launcher.first_s = 0.15;
  scene.launcher.interval_s = {0.4, 0};
  scene.film.duration_s = 1;
  return scene;
}

double processor_now_s() {
  timespec time{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &time);
  return static_cast<double>(time.tv_sec) +
         1e-9 * static_cast<double>(time.tv_nsec);
}

Bench bench_of(const Scene& scene) {
  Bench bench;
  bench.camera = true_camera(scene);
  bench.surface_name = scene.surface.name;
  return bench;
}

}  // namespace

double SpeedTrial::times() const {
  return wall_s > 0 ? frames / rate_hz / wall_s : 0;
}

double SpeedTrial::share() const {
  return frames > 0 ? processor_s / (frames / rate_hz) / processors : 0;
}

SpeedTrial try_speed(const WantedSize& size, double rate_hz) {
  const ScratchFolder scratch;
  const fs::path film = scratch.path() / "second.mp4";
  const Scene scene = second_of(size, rate_hz);
  simulate(scene, 1, film);
  SpeedTrial trial;
  trial.size = size;
  trial.rate_hz = rate_hz;
  trial.processors =
      static_cast<int>(std::max(1U, std::thread::hardware_concurrency()));
  trial.film_bytes = static_cast<double>(fs::file_size(film));
  const Profile profile = load_profile(find_profile(scene.profile));
  EngineOptions options;
  options.judging.quality = profile.quality;
  Clock::time_point began;
  double used_s = 0;
  LiveRun run(
      bench_of(scene), profile, options, {}, [&](const FrameSightings&) {
        ++trial.frames;
        trial.wall_s =
            std::chrono::duration<double>(Clock::now() - began).count();
        trial.processor_s = processor_now_s() - used_s;
      });
  VideoSource source(film);
  LiveFrames frames;
  frames.info = source.info();
  frames.opening = opening_stills(film);
  frames.next = [&, first = true]() mutable {
    if (first) {
      began = Clock::now();
      used_s = processor_now_s();
    }
    first = false;
    return source.next();
  };
  (void)run.run(std::move(frames));
  return trial;
}

}  // namespace evenfeed
