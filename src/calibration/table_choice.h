// SPDX-License-Identifier: MIT
// Which camera explains the picture: tables that the finder proposes and other
// readings of the same lines, each refined and weighed, until one stands and no
// other explains the picture about as well.
#pragma once

#include "calibration/bright_bars.h"
#include "calibration/camera_refiner.h"
#include "calibration/table_finder.h"
#include "calibration/table_score.h"

#include <optional>
#include <string>
#include <vector>

#include <opencv2/core.hpp>

namespace evenfeed {

// A table that shows this much is one, whatever else is odd about it.
inline constexpr double kShowsAll_nats = 40;
inline constexpr double kLeastMargin_nats = 3;  ///< 20 to 1
/// Something may lie along one line, or the table stand without its net; when
/// two of them are missing it is not the table, or not its place.
inline constexpr int kMostMissing = 1;

inline constexpr char kMarkByHand[] =
    "Mark at least 4 points by hand (evenfeed calibrate FILM --mark shows a "
    "page for it, --points reads them), or move the camera or the light so "
    "that the surface's lines stand out";

/// What the picture says for a refined camera, in cuts.
struct ReadingVerdict {
  int cuts = 0;
  bool both_directions = false;  // lines along x and along y are borne out
  int confirmed = 0;
  int missing = 0;         // lines in view, the net too, not borne out
  double found_share = 0;  // of all cuts looked for
  std::string against;     // what speaks against it, whatever the lines say
  bool cannot_be = false;  // ... a camera that is not made, or not known
  double score_nats = 0;   // TableScore::total()

  /// The score, less for what speaks against it, and for whole lines that are
  /// not where they must be: either is seen with a wrong reading in half of all
  /// cases, with a right one in one of a hundred.
  double nats() const {
    return score_nats - (against.empty() ? 0 : kContradicted_nats) -
           (missing <= kMostMissing ? 0 : kContradicted_nats);
  }

  /// Lines enough, both ways, to believe what they say.
  bool shows_enough() const {
    return confirmed >= 3 && both_directions && cuts >= kLeastCuts;
  }

  /// ... and none too many that should be there and are not.
  bool could_stand() const { return shows_enough() && missing <= kMostMissing; }

 private:
  static constexpr int kLeastCuts = 40;
  static constexpr double kContradicted_nats = 4;
};

ReadingVerdict weigh(const RefinedCamera& fit,
                     const std::vector<SurfaceLine>& lines);

/// Which of two stands. A second table at the back of the hall may explain all
/// of its few lines, and the net taken for an end leave more to see than half a
/// table does: what shows too little, or misses too much, to be believed comes
/// after what does not.
[[nodiscard]] bool better(const ReadingVerdict& a, const ReadingVerdict& b);

/// A camera that was tried, with what speaks for and against it.
struct TableCandidate {
  RefinedCamera fit;
  ReadingVerdict verdict;
  TableScore score;
  const CameraModel& camera() const { return fit.solution.camera; }
  /// It shows enough of a table and nothing contradicts it.
  bool believable() const;
};

/// Whether another reading of the same lines can be believed and leaves no more
/// than `most_mm` rms at the table, by a whole picture and a flat table.
[[nodiscard]] bool fits_otherwise(const std::vector<TableCandidate>& candidates,
                                  const TableCandidate& best,
                                  const Surface& surface,
                                  double most_mm);

class TableChoice {
 public:
  /// All of them must outlive it.
  TableChoice(const cv::Mat& luma,
              const Surface& surface,
              const std::vector<SurfaceLine>& lines,
              const std::optional<KnownLens>& lens,
              const CameraSolverOptions& solver);

  /// Looks at the picture in one way after another until the choice is settled.
  void search();
  /// Null when nothing was found.
  const TableCandidate* best() const;
  /// Nats of the best of the other readings of the same lines; tables that
  /// stand elsewhere in the picture are none.
  std::optional<double> runner_up(const TableCandidate& best) const;
  const std::vector<TableCandidate>& candidates() const { return candidates_; }

 private:
  double reach_px() const;
  RefinedCamera refine(const CameraModel& start, double reach) const;
  bool looks_like_floor(const RefinedCamera& fit) const;
  std::string against(const RefinedCamera& fit, double nats) const;
  std::optional<TableCandidate> weighed(const CameraModel& proposal,
                                        double reach) const;
  bool known(const CameraModel& camera) const;
  bool consider(const CameraModel& proposal);
  void look(const TableFinderOptions& how);
  void read_otherwise();
  bool settled() const;

  const cv::Mat& luma_;
  const Surface& surface_;
  const std::vector<SurfaceLine>& lines_;
  const std::optional<KnownLens>& lens_;
  const CameraSolverOptions& solver_;
  std::vector<BrightBar> bars_;
  std::vector<TableCandidate> candidates_;
};

}  // namespace evenfeed
