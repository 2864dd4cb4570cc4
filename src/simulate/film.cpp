// SPDX-License-Identifier: MIT
#include "simulate/film.h"

#include "base/atomic_file.h"
#include "film/aac_writer.h"
#include "film/h264_writer.h"
#include "film/sound_track.h"
#include "simulate/hall_sound.h"

#include <optional>

namespace evenfeed {

std::vector<TrueSighting> true_sightings(const FrameRenderer& renderer,
                                         const Scene& scene) {
  std::vector<TrueSighting> sightings;
  Scene as_it_stands = scene;
  const std::vector<double>& times_s = renderer.times_s();
  for (int frame = 0; frame < static_cast<int>(times_s.size()); ++frame) {
    as_it_stands.camera.model = renderer.camera(frame);
    for (const TrueBall& ball : renderer.balls()) {
      if (ball.path.start_s() > times_s[frame] + 1 / scene.camera.fps ||
          ball.path.end_s() < times_s[frame]) {
        continue;
      }
      const auto sight = see_ball(as_it_stands, ball.path, times_s[frame]);
      if (!sight || !as_it_stands.camera.model.in_picture(sight->centre_px)) {
        continue;
      }
      sightings.push_back({frame,
                           sight->t_s,
                           ball.id,
                           ball.kind,
                           sight->centre_px,
                           sight->diameter_px,
                           renderer.seen_part(*sight, frame)});
    }
  }
  return sightings;
}

namespace {

// The film's sound, coded in a file of its own, from which the film's writer
// takes it.
class CodedSound {
 public:
  CodedSound(const Scene& scene,
             std::uint64_t seed,
             const std::filesystem::path& video)
      : file_(video.parent_path() / (video.stem().string() + "-sound.m4a")) {
    write_aac(file_.temporary(),
              hall_sound(scene, seed),
              {scene.sound.rate_hz, scene.sound.bitrate_kbps});
    track_.emplace(file_.temporary(), 0, 1e6);
  }
  SoundTrack* track() { return &*track_; }

 private:
  PendingFile file_;  // never committed: gone with this
  std::optional<SoundTrack> track_;
};

}  // namespace

Film simulate(const Scene& scene,
              std::uint64_t seed,
              const std::filesystem::path& video,
              const FilmProgress& progress) {
  FrameRenderer renderer(scene, seed);
  Film film;
  film.frames = static_cast<int>(renderer.times_s().size());
  PendingFile pending(video);
  H264Options options;
  options.width_px = scene.camera.model.width_px;
  options.height_px = scene.camera.model.height_px;
  options.rate_hz = scene.camera.fps;
  options.crf = scene.film.crf;
  options.bitrate_mbps = scene.film.bitrate_mbps;
  options.keyframe_s = scene.film.keyframe_s;
  options.camera = "invented bench";
  std::optional<CodedSound> sound;
  if (scene.sound.present) sound.emplace(scene, seed, video);
  H264Writer writer(
      pending.temporary(), options, sound ? sound->track() : nullptr);
  for (int frame = 0; frame < film.frames; ++frame) {
    writer.add(renderer.render(frame), renderer.times_s()[frame]);
    if (progress) progress(frame + 1, film.frames);
  }
  writer.finish();
  pending.commit();
  film.feeds = true_feeds(scene, seed);
  film.sightings = true_sightings(renderer, scene);
  return film;
}

YuvPicture render_frame(const Scene& scene, std::uint64_t seed, int frame) {
  return FrameRenderer(scene, seed).render(frame);
}

YuvPicture render_background(const Scene& scene, std::uint64_t seed) {
  return FrameRenderer(scene, seed).render_empty();
}

}  // namespace evenfeed
