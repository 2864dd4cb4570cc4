// SPDX-License-Identifier: MIT
// A film as a sequence of pictures with the container's time stamps.
//
// The planes are handed out as decoded: no colour conversion and no copy for
// 8-bit planar films, more than 8 bits are shifted to 8, and only RGB and
// palette formats pass through a conversion. Pictures are not turned unless
// asked: the rows stay the rows the sensor read, so a rolling shutter runs
// down the rows whatever the film's rotation mark says, and the camera's pose
// takes up the roll. turned_for_display() turns a picture for a person. A film
// that says it is to be shown mirrored is handed out mirrored, left to right.
//
// Pixels that the film says are not square (a picture squeezed by the camera)
// are made square by stretching the picture, so that one focal length holds for
// both directions. Interlaced pictures, which hold two moments each, are
// refused. Times are those at which the pictures were taken: divided by `slow`,
// and put back on the regular grid that a container with a coarse clock rounded
// them from (stamp_grid.h).
//
// Decoding runs in threads of its own, ahead of the caller by a few frames.
#pragma once

#include "film/colour_code.h"
#include "film/frame.h"

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

struct VideoOptions {
  int decoder_threads = 0;      ///< 0: as many as there are processors
  int frames_ahead = 4;         ///< decoded before they are asked for; 0: none
  bool apply_rotation = false;  ///< turn pictures as the film's mark says
  /// How many times slower it plays than it was taken: 8 for 240 frames a
  /// second shown at 30. Not given: as the film itself says, else 1.
  std::optional<double> slow;
  void check() const;
};

struct VideoInfo {
  std::string file;
  std::string codec;         ///< as the decoder calls it: "h264", "hevc"
  std::string pixel_format;  ///< "yuv420p", "yuv420p10le", ...
  ColourCode colours;
  int width_px = 0;  ///< of the frames handed out
  int height_px = 0;
  /// Clockwise turn that shows the stored picture upright: 0, 90, 180, 270.
  int rotation_deg = 0;
  double slow = 1;  ///< times are divided by this
  /// Its times are those at which it was taken: `slow` was given, or a camera
  /// is named that wrote the file itself.
  bool clock_known = false;
  /// A JPEG, a PNG: nothing moves in it, whatever is asked.
  bool still_picture = false;
  double rate_hz =
      0;  ///< average, as taken, for progress only; 0 when not known
  double duration_s = 0;    ///< estimate, for progress only; 0 when not known
  int expected_frames = 0;  ///< estimate, for progress only; 0 when not known
};

class VideoSource {
 public:
  /// Opens the film and decodes its first frame. Throws InputError naming the
  /// file when it is missing, empty, not a film, has no picture track, is
  /// interlaced, or no frame of it can be decoded.
  explicit VideoSource(const std::filesystem::path& path,
                       const VideoOptions& options = {});
  ~VideoSource();
  VideoSource(VideoSource&&) noexcept;
  VideoSource& operator=(VideoSource&&) noexcept;

  const VideoInfo& info() const;
  /// The next frame; nullopt at the end. Time stamps always increase. Throws
  /// InputError when the picture size changes within the film, and when what
  /// moves shows that it is interlaced without saying so.
  std::optional<Frame> next();
  /// What was mended on the way (missing or repeated time stamps, damaged
  /// frames left out, pixels made square, a slow film's times, a film that ends
  /// early and how much is missing). Complete after the last frame.
  std::vector<std::string> notes() const;
  /// Times of the first picture behind each place where pieces seem to have
  /// been put together (join_watch.h). Complete after the last frame.
  std::vector<double> joins_s() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

/// Throws InputError for a still picture: only a film shows flights.
void require_film(const VideoInfo& info);

/// The picture turned clockwise by 0, 90, 180 or 270 degrees.
cv::Mat turned_for_display(const cv::Mat& picture, int rotation_deg);

}  // namespace evenfeed
