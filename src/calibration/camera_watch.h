// SPDX-License-Identifier: MIT
// Notices when the camera is knocked, or its mount gives way. The surface's
// lines are looked at twice a second (LineSites); a look is judged when the two
// after it are known too, by the one of the five around it that is nearest to
// the others: a knock stays a step, and a hand over the lines does not count.
// Moves below `least_move_m` at the table, or within the noise of a look, are
// not followed, so a camera that stands still stays exactly where it was.
#pragma once

#include "calibration/line_sites.h"
#include "calibration/sway_meter.h"

#include <deque>
#include <limits>
#include <optional>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

struct WatchOptions {
  double every_s = 0.5;          ///< from look to look
  double least_move_m = 0.5e-3;  ///< at the table
  /// Less than this from where it was calibrated is the calibration's own
  /// uncertainty as the first pictures show it.
  double least_start_m = 1e-3;
  LineSiteOptions sites;
  void check() const;
};

/// How the camera stands from a time on.
struct CameraStance {
  double from_s = 0;
  CameraModel camera;
  double moved_m = 0;  ///< from how it stood before, at the table, rms
};

/// What the watch has settled since it was last asked.
struct WatchNews {
  double settled_until_s = 0;  ///< no stance will begin before this
  std::vector<CameraStance> stances;
};

class CameraWatch {
 public:
  CameraWatch(const CameraModel& calibrated,
              const Surface& surface,
              const WatchOptions& options);

  /// The film's next frame; most are not looked at.
  void add_frame(const cv::Mat& luma, double t_s);
  /// No more frames.
  void finish();
  /// Every stance once; before the first the camera stands as calibrated.
  WatchNews take_news();

  /// Enough of the lines was seen to notice a move.
  bool watching() const { return state_ == State::kWatching; }
  /// Times of the looks around which the table could not be found.
  const std::vector<double>& lost_at_s() const { return lost_at_s_; }
  /// What of the camera's moves is not followed.
  CameraSway sway() const { return sway_.sway(); }

 private:
  enum class State { kBeginning, kWatching, kBlind };
  struct Look {
    double t_s = 0;
    std::optional<FoundCamera> found;
  };
  struct Beginning {
    std::vector<double> times_s;
    std::vector<std::vector<double>> offsets_px;
  };

  void begin(const cv::Mat& luma, double t_s);
  void end_beginning();
  std::optional<FoundCamera> find(const cv::Mat& luma);
  void judge(std::size_t at, std::size_t from, std::size_t to);
  void judge_ready(std::size_t looks_after);
  void measure_sway(const Look& look);
  void stand(double from_s, const CameraModel& camera);

  WatchOptions options_;
  State state_ = State::kBeginning;
  LineSites sites_;
  Beginning beginning_;
  CameraModel held_;                   // as settled
  std::optional<CameraModel> nearby_;  // as last found, when not as held
  std::deque<Look> looks_;             // from two before the next to be judged
  std::size_t next_ = 0;               // place in looks_ of that
  double next_look_s_ = -std::numeric_limits<double>::infinity();
  std::vector<double> lost_at_s_;
  int lost_looks_ = 0;  // in a row
  bool began_again_ = false;
  SwayMeter sway_;
  WatchNews news_;
};

}  // namespace evenfeed
