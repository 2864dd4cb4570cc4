// SPDX-License-Identifier: MIT
// Frames to sightings, one frame at a time, in order; the same frames give the
// same sightings. Brightness finds most balls and places them best; the colour
// planes find an orange ball in the glare and help to place it.
#pragma once

#include "detection/detector_options.h"
#include "film/frame.h"
#include "film/video_source.h"
#include "geometry/camera_model.h"
#include "geometry/sighting.h"
#include "geometry/surface.h"

#include <filesystem>
#include <memory>
#include <vector>

namespace evenfeed {

class BallDetector {
 public:
  /// Without a camera: the whole picture, sizes from the options, times at the
  /// frame's own stamp.
  BallDetector(const DetectorOptions& options, int width_px, int height_px);
  /// Only what lies over the table is looked at; sizes from the line of sight.
  BallDetector(const DetectorOptions& options,
               const CameraModel& camera,
               const Surface& surface,
               const Ball& ball);
  ~BallDetector();
  BallDetector(BallDetector&&) noexcept;
  BallDetector& operator=(BallDetector&&) noexcept;

  /// The background from still pictures of the start of the film (see
  /// opening_stills). Without it the first frame detect() sees is taken, and a
  /// ball in it leaves a hole for a few seconds.
  void learn(const std::vector<Frame>& stills);

  /// The sightings in this frame, left to right.
  std::vector<Sighting> detect(const Frame& frame);
  /// The same in two steps. They share nothing, so each may have a thread of
  /// its own, in which it sees the frames in order: what was found in the
  /// brightness, and that with what the colour planes add.
  std::vector<Sighting> detect_brightness(const Frame& frame);
  std::vector<Sighting> add_colour(const Frame& frame,
                                   std::vector<Sighting> bright);

  /// While no step is at work.
  DetectorCounts counts() const;
  const PictureRegion& region() const;
  /// Of the brightness.
  const Background& background() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

/// Still pictures of the first two seconds (less of a short film), enough for
/// a median that balls in flight do not show in.
std::vector<Frame> opening_stills(const std::filesystem::path& film,
                                  const VideoOptions& options = {});

/// Throws InputError when the film's picture is not the size the bench was
/// calibrated with.
void require_same_picture(const VideoInfo& film, const CameraModel& camera);

}  // namespace evenfeed
