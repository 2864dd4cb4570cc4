// SPDX-License-Identifier: MIT
#include "pictures/feed_clip.h"

#include "base/check.h"
#include "base/error.h"
#include "film/colour_picture.h"
#include "film/film_stretch.h"
#include "film/sound_track.h"
#include "pictures/corner_words.h"
#include "pictures/drawing.h"
#include "pictures/feed_still.h"
#include "pictures/slowed_film.h"

#include <algorithm>

#include <fmt/format.h>
#include <opencv2/imgproc.hpp>

namespace evenfeed {
namespace {

class ClipDrawing {
 public:
  ClipDrawing(const ClipPart& part,
              const CameraModel& camera,
              const VideoInfo& film)
      : part_(part), camera_(camera), colours_(film.colours) {
    view_.area = cv::Rect(0, 0, camera.width_px, camera.height_px);
    view_.rotation_deg = film.rotation_deg;
  }

  YuvPicture drawn(const Frame& frame) const {
    cv::Mat picture = colour_picture(frame, colours_);
    picture =
        picture(cv::Rect(0, 0, picture.cols / 2 * 2, picture.rows / 2 * 2));
    const std::vector<FlownPoint> path =
        flown_until(part_.feed, camera_, frame.t_s);
    const double width_px = std::max(1., picture.rows / 500.);
    for (const Leg leg : {Leg::kIn, Leg::kOut, Leg::kBack}) {
      std::vector<Eigen::Vector2d> places;
      for (const FlownPoint& point : path) {
        if (point.leg == leg) places.push_back(view_(point.film_px));
      }
      draw_way(picture, places, colour_of(leg), width_px);
    }
    for (const FlownPoint& point : path) {
      draw_mark(picture,
                point.mark,
                view_(point.film_px),
                std::max(8., picture.rows / 60.),
                colour_of(point.leg));
    }
    draw_corner(picture, white_lines(part_.words));
    return yuv_of(picture, colours_);
  }

 private:
  const ClipPart& part_;
  const CameraModel& camera_;
  ColourCode colours_;
  PictureView view_;
};

std::string why_without_sound(const SoundTrack& sound, int slow) {
  if (!sound.there()) return {};
  if (slow > 1) return "a slowed film has no sound";
  if (!sound.usable()) {
    return fmt::format("MP4 cannot hold its sound as it is ({})",
                       sound.codec());
  }
  return {};
}

}  // namespace

void ClipOptions::check() const {
  require_in_range(slow, 1, 100, "slow");
  require_in_range(crf, 0, 51, "crf");
}

ClipMade write_clip(const std::filesystem::path& film,
                    const ClipPart& part,
                    const CameraModel& camera,
                    const std::filesystem::path& file,
                    const ClipOptions& options) {
  options.check();
  VideoOptions video;
  video.slow = options.film_slow;
  video.apply_rotation = true;
  FilmStretch stretch(film, part.from_s, part.until_s, video);
  std::optional<Frame> frame = stretch.next();
  if (!frame) {
    throw InputError(film.string(),
                     fmt::format("there is no picture from {:.2f} to {:.2f} s",
                                 part.from_s,
                                 part.until_s),
                     "Measure the film again: it may have been cut since");
  }
  const VideoInfo& info = stretch.info();
  ClipMade made;
  made.first_s = frame->t_s;
  SoundTrack sound(film, made.first_s * info.slow, part.until_s * info.slow);
  made.sound_left_out = why_without_sound(sound, options.slow);
  const bool with_sound = sound.there() && made.sound_left_out.empty();
  const H264Options code = coding_like(info, frame->luma.size(), options.crf);
  H264Writer writer(file, code, with_sound ? &sound : nullptr);
  SlowedFilm slowed(writer, options.slow, 1 / code.rate_hz);
  const ClipDrawing drawing(part, camera, info);
  for (; frame; frame = stretch.next()) {
    slowed.add(options.plain ? yuv_of(*frame) : drawing.drawn(*frame),
               (frame->t_s - made.first_s) * info.slow);
    made.last_s = frame->t_s;
    ++made.frames;
  }
  slowed.finish();
  writer.finish();
  return made;
}

}  // namespace evenfeed
