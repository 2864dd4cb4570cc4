// SPDX-License-Identifier: MIT
#include "pictures/feed_clip.h"

#include "base/check.h"
#include "base/error.h"
#include "film/colour_picture.h"
#include "film/film_stretch.h"
#include "film/h264_writer.h"
#include "film/sound_track.h"
#include "pictures/drawing.h"
#include "pictures/feed_still.h"

#include <algorithm>

#include <fmt/format.h>
#include <opencv2/imgproc.hpp>

namespace evenfeed {
namespace {

FlownPoint between(const FlownPoint& a, const FlownPoint& b, double share) {
  FlownPoint point = a;
  point.mark = FlightMark::kNone;
  point.t_s = a.t_s + share * (b.t_s - a.t_s);
  point.film_px = a.film_px + share * (b.film_px - a.film_px);
  return point;
}

// Dark behind the words, so that they can be read over anything.
void draw_corner(cv::Mat& picture, const std::vector<std::string>& words) {
  if (words.empty()) return;
  const double scale = std::max(0.45, picture.rows / 1150.);
  const int step = static_cast<int>(36 * scale);
  int wide = 0;
  for (const std::string& line : words) {
    int below = 0;
    wide = std::max(
        wide,
        cv::getTextSize(line, cv::FONT_HERSHEY_SIMPLEX, scale, 1, &below)
            .width);
  }
  const cv::Rect box =
      cv::Rect(
          0, 0, wide + step, static_cast<int>(words.size()) * step + step / 2) &
      cv::Rect({}, picture.size());
  cv::Mat part = picture(box);
  part.convertTo(part, -1, 0.35);
  for (std::size_t i = 0; i < words.size(); ++i) {
    draw_words(picture,
               words[i],
               {step / 2., step * (static_cast<double>(i) + 0.9)},
               cv::Scalar::all(255),
               scale);
  }
}

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
    draw_corner(picture, part_.words);
    return yuv_of(picture, colours_);
  }

 private:
  const ClipPart& part_;
  const CameraModel& camera_;
  ColourCode colours_;
  PictureView view_;
};

H264Options coding(const VideoInfo& film,
                   const cv::Size& size,
                   const ClipOptions& options) {
  H264Options coding;
  coding.width_px = size.width / 2 * 2;
  coding.height_px = size.height / 2 * 2;
  coding.rate_hz = film.rate_hz > 0 ? film.rate_hz / film.slow : 30;
  coding.crf = options.crf;
  coding.colours = film.colours;
  return coding;
}

// Frames in the time the film plays in, each `slow` times over.
class SlowedFilm {
 public:
  SlowedFilm(H264Writer& writer, int slow, double usual_step_s)
      : writer_(writer), slow_(slow), step_s_(usual_step_s) {}

  void add(YuvPicture picture, double t_s) {
    if (waiting_) show(t_s - t_s_);
    waiting_ = std::move(picture);
    t_s_ = t_s;
  }
  void finish() {
    if (waiting_) show(step_s_);
    waiting_.reset();
  }

 private:
  void show(double step_s) {
    for (int i = 0; i < slow_; ++i) {
      writer_.add(*waiting_, slow_ * t_s_ + i * step_s);
    }
  }
  H264Writer& writer_;
  int slow_;
  double step_s_;
  std::optional<YuvPicture> waiting_;
  double t_s_ = 0;
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

std::vector<FlownPoint> flown_until(const FlownFeed& feed,
                                    const CameraModel& camera,
                                    double t_frame_s) {
  const auto ahead_s = [&](const FlownPoint& point) {
    return point.t_s - camera.mid_exposure_s(t_frame_s, point.film_px.y());
  };
  std::vector<FlownPoint> flown;
  for (const FlownPoint& point : feed.path) {
    const double ahead = ahead_s(point);
    if (ahead <= 0) {
      flown.push_back(point);
      continue;
    }
    if (!flown.empty()) {
      const double behind = -ahead_s(flown.back());
      flown.push_back(between(flown.back(), point, behind / (behind + ahead)));
    }
    break;
  }
  return flown;
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
  const H264Options code = coding(info, frame->luma.size(), options);
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
