// SPDX-License-Identifier: MIT
// What to tell about a camera that was moved while it filmed.
#pragma once

#include "calibration/camera_watch.h"
#include "flight/feed.h"
#include "geometry/surface.h"

#include <string>
#include <vector>

namespace evenfeed {

/// One move as a person would tell it: at once, or little by little.
struct CameraMove {
  double from_s = 0, until_s = 0;
  double moved_m = 0;  ///< between before and after, at the table, rms
  double most_m = 0;   ///< on the way
  int steps = 0;       ///< after the start
  double growth = 1;   ///< of the picture of the surface, when it moved most

  /// It came back, or went on in steps.
  bool to_and_fro() const { return steps > 1 && moved_m < most_m / 2; }
};

/// A step of more than this spoils the picture of the background, which is then
/// learnt anew.
inline constexpr double kKnock_m = 2e-3;

/// Steps within a few seconds of each other are one move. Those of less than a
/// millimetre at the table are left out.
std::vector<CameraMove> camera_moves(const CameraModel& calibrated,
                                     const std::vector<CameraStance>& stances,
                                     const Surface& surface);

/// A sentence for each move. A move at the very start means that the camera did
/// not stand where it was calibrated. What digital stabilisation or a zoom
/// looks like is called that.
std::vector<std::string> words_on_moves(const std::vector<CameraMove>& moves);

/// Notes in the feeds that flew while the camera was knocked, or before the
/// detector had learnt the picture anew.
void note_moves(const std::vector<CameraStance>& stances,
                double learning_s,
                std::vector<Feed>& feeds);

/// Notes in the feeds that flew while the table could not be found, `every_s`
/// from look to look: where the camera stood is not known then. How many.
int note_lost(const std::vector<double>& lost_at_s,
              double every_s,
              std::vector<Feed>& feeds);

}  // namespace evenfeed
