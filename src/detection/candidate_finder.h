// SPDX-License-Identifier: MIT
// From a changed area to places where a ball may be: changed pixels of one
// sign are gathered into pieces, pieces close together into candidates (a
// white line splits a white ball), and each candidate gets a first guess of
// centre, streak and size from its moments.
#pragma once

#include "detection/background.h"
#include "detection/ball_scale.h"
#include "detection/change_finder.h"
#include "detection/streak_fit.h"

#include <cstdint>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

struct Candidate {
  Streak start;      ///< place and shape only
  double step = 0;   ///< against the background, grey levels
  double light = 0;  ///< sum of the changes in its pixels, grey levels
  BallLimits limits;
  int pixels = 0;
  double own_radius_px = 0;  ///< as its pixels spread, within the limits
};

class CandidateFinder {
 public:
  /// `sign`: +1 for balls brighter than the background, -1 for darker ones.
  CandidateFinder(const BallScale& scale, int sign);

  /// The fewest changed pixels of a candidate where the smallest ball is so
  /// large.
  static double fewest_pixels(double least_diameter_px) {
    return 0.2 * least_diameter_px * least_diameter_px;
  }

  /// Appends the candidates of one area; says how many pieces were too large
  /// (an arm, a person) or too small (specks).
  struct Count {
    int too_large = 0;
    int too_small = 0;
  };
  Count find(const cv::Mat& luma,
             const Background& background,
             const ChangeFinder& changes,
             const ChangedArea& area,
             std::vector<Candidate>& found);

 private:
  struct Piece {
    cv::Rect box;
    int pixels = 0;
    int mark = 0;
    int group = -1;
  };

  void measure_steps(const cv::Mat& luma,
                     const Background& background,
                     const cv::Rect& window);
  void measure_row(const std::uint8_t* seen,
                   const std::int16_t* mean,
                   std::int16_t gain,
                   std::size_t base);
  static bool never_large(const Piece& piece);
  void gather_pieces(const cv::Rect& window,
                     const ChangeFinder& changes,
                     int label);
  Piece flood(int start, int mark, const cv::Rect& window);
  int group_pieces(double reach_px);
  Candidate guess(int group, const cv::Rect& window);

  BallScale scale_;
  int sign_;
  std::vector<std::int16_t> steps_;  // sign * change, 1/16 level, of the window
  std::vector<std::uint8_t> over_;   // 1: beyond its threshold
  std::vector<std::int16_t> limits_;  // threshold of each column of the window
  std::vector<int> marks_;            // piece of a pixel, 1..
  int last_mark_ = 0;
  std::vector<int> stack_;
  std::vector<Piece> pieces_;
  std::vector<std::int16_t> sorted_;
};

}  // namespace evenfeed
