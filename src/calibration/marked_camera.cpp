// SPDX-License-Identifier: MIT
#include "calibration/marked_camera.h"

#include "calibration/bent_lines.h"
#include "calibration/calibrate_still.h"
#include "calibration/cut_out_picture.h"
#include "calibration/fit_residual.h"
#include "calibration/plane_camera.h"
#include "calibration/plausible_camera.h"
#include "calibration/receiving_half.h"
#include "calibration/table_choice.h"
#include "calibration/uneven_table.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

// Four points of the plane give eight numbers for pose and focal length; an
// ordinary lens is expected, and a camera left in doubt is refused.
constexpr int kLeastMarks = 4;

constexpr double kReach_px = 8;  // of a picture 1280 wide, from the marks
// Fewer than this share of the marks may be left out as wrong ...
constexpr double kWrongMarks = 0.25;
// ... each farther off than its own sd explains, and the others much better
// without it.
constexpr double kMarkSigmas = 4;
constexpr double kMuchBetter = 0.5;

class Marking {
 public:
  Marking(const cv::Mat& luma,
          const Surface& surface,
          const std::optional<KnownLens>& lens,
          const CalibrationLimits& limits,
          MarkedCamera begin)
      : luma_(luma),
        surface_(surface),
        lens_(lens),
        limits_(limits),
        done_(std::move(begin)) {}

  MarkedCamera run() {
    if (start()) {
      leave_out_net_marks();
      leave_out_wrong_marks();
      if (!holds()) take_marked_half();
      if (!(holds() ? believed(done_.fit) : take_cut_out())) take_uneven();
    }
    return std::move(done_);
  }

 private:
  bool start() {
    const int given = static_cast<int>(done_.marks.size());
    if (given < kLeastMarks) {
      return too_few(
          fmt::format("{} points are marked, at least {} are needed. "
                      "Mark more landmarks of the surface",
                      given,
                      kLeastMarks));
    }
    std::vector<PlanePoint> plane;
    for (const MarkedPoint& mark : done_.marks) {
      if (std::abs(mark.x_in_table_m.z()) < 1e-9) {
        plane.push_back({mark.x_in_table_m.head<2>(), mark.picture_px});
      }
    }
    std::optional<LensModel<double>> lens;
    if (lens_) lens = lens_->lens;
    const auto camera = camera_from_plane(plane, luma_.cols, luma_.rows, lens);
    if (!camera) {
      return too_few(
          "the marked points on the surface do not determine a camera. "
          "Mark at least 4 points on the surface, not on one line, and "
          "check their names");
    }
    begin_ = camera->camera;
    CameraSolution solution =
        solve_camera(begin_, done_.lines, {}, done_.marks, done_.solver);
    if (!solution.solved) {
      done_.message = solution.message + ". Check the marked points";
      return false;
    }
    refine_marked(solution);
    done_.status = CalibrationStatus::kDone;
    return true;
  }

  bool too_few(std::string message) {
    done_.status = CalibrationStatus::kTooFewLines;
    done_.message = std::move(message);
    return false;
  }

  double scaled_px(double usual_px) const {
    return usual_px * std::max(1.0, luma_.cols / 1280.0);
  }

  void take(RefinedCamera fit) {
    done_.fit = std::move(fit);
    done_.lines = done_.fit.lines;
  }

  // Lines sharpen what the marks began, where the picture shows them.
  void refine_marked(const CameraSolution& from_points) {
    RefinedCamera fit = refine_camera(luma_,
                                      from_points.camera,
                                      surface_,
                                      done_.lines,
                                      done_.marks,
                                      done_.solver,
                                      scaled_px(kReach_px));
    const ReadingVerdict verdict = weigh(fit, done_.lines);
    if (fit.solution.solved && verdict.shows_enough() &&
        fit.solution.inliers > 0.6) {
      take(std::move(fit));
    } else {
      done_.fit = {};
      done_.fit.solution = from_points;
      done_.fit.support.resize(done_.lines.size());
    }
  }

  double miss_px(const MarkedPoint& mark) const {
    return mark_miss_px(done_.fit.solution.camera, mark);
  }

  double off_limit_px(const MarkedPoint& mark) const {
    return std::max(mark_off_limit_px(luma_.cols), kMarkSigmas * mark.sigma_px);
  }

  bool any_off(const CameraModel& camera,
               const std::vector<MarkedPoint>& marks) const {
    return std::any_of(marks.begin(), marks.end(), [&](const auto& mark) {
      return mark_miss_px(camera, mark) > off_limit_px(mark);
    });
  }

  // One mark in the wrong place, or with the wrong name, among many: the one
  // without which the others fit best goes first, as long as one is off.
  void leave_out_wrong_marks() {
    const double most = kWrongMarks * static_cast<double>(done_.marks.size());
    for (int left_out = 1; left_out < most; ++left_out) {
      if (!any_off(done_.fit.solution.camera, done_.marks) ||
          !leave_out_one()) {
        return;
      }
    }
  }

  bool leave_out_one() {
    const CameraSolution& before = done_.fit.solution;
    std::size_t wrong = done_.marks.size();
    CameraSolution best;
    best.point_rms_px = kMuchBetter * before.point_rms_px;
    for (std::size_t i = 0; i < done_.marks.size(); ++i) {
      std::vector<MarkedPoint> others = done_.marks;
      others.erase(others.begin() + i);
      if (static_cast<int>(others.size()) < kLeastMarks) return false;
      CameraSolution without = solve_camera(
          before.camera, done_.lines, done_.fit.cuts, others, done_.solver);
      if (!without.solved || without.point_rms_px >= best.point_rms_px ||
          mark_miss_px(without.camera, done_.marks[i]) <=
              off_limit_px(done_.marks[i])) {
        continue;
      }
      best = std::move(without);
      wrong = i;
    }
    if (wrong == done_.marks.size()) return false;
    const MarkedPoint mark = done_.marks[wrong];
    done_.marks.erase(done_.marks.begin() + wrong);
    refine_marked(best);
    done_.warnings.push_back(
        fmt::format("the mark {} is {:.1f} px beside where the others have it: "
                    "it is left out. Check its name and place",
                    mark.name,
                    miss_px(mark)));
    return true;
  }

  // A net sags, hangs askew, or stands beside its place. Where painted lines
  // or enough marks on the surface fit, a net's mark that does not is named and
  // left out. First its top alone: of half a table the net's feet are two of
  // the four points there are.
  void leave_out_net_marks() {
    leave_out_if_off([](const MarkedPoint& mark) {
      return mark.name.rfind("net_top_", 0) == 0;
    });
    leave_out_if_off([](const MarkedPoint& mark) {
      return mark.name.rfind("net_", 0) == 0;
    });
  }

  template <typename OnNet>
  void leave_out_if_off(const OnNet& on_net) {
    const double allowed_px = mark_off_limit_px(luma_.cols);
    std::vector<MarkedPoint> kept = done_.marks;
    std::erase_if(kept, on_net);
    if (kept.size() == done_.marks.size() ||
        static_cast<int>(kept.size()) < kLeastMarks) {
      return;
    }
    std::swap(kept, done_.marks);
    CameraSolution solution = solve_camera(
        done_.fit.solution.camera, done_.lines, {}, done_.marks, done_.solver);
    if (!solution.solved) {
      std::swap(kept, done_.marks);
      return;
    }
    const RefinedCamera with_net = std::move(done_.fit);
    refine_marked(solution);
    std::vector<std::string> off;
    for (const MarkedPoint& mark : kept) {
      if (on_net(mark) && miss_px(mark) > allowed_px) {
        off.push_back(fmt::format("{} by {:.1f} px", mark.name, miss_px(mark)));
      }
    }
    if (off.empty()) {
      std::swap(kept, done_.marks);
      done_.fit = with_net;
      done_.lines = with_net.lines.empty() ? done_.lines : with_net.lines;
      return;
    }
    done_.warnings.push_back(fmt::format(
        "the net is not where the lines and marks of the surface have it ({}): "
        "its marks are left out",
        fmt::join(off, ", ")));
  }

  bool holds() const {
    return fit_residual(done_.fit, done_.lines, done_.marks, limits_).within;
  }

  // A lens that is made, and no line that leaves its place on the way.
  bool believed(const RefinedCamera& fit) const {
    const CameraSolution& solution = fit.solution;
    const auto bent = find_bent_line(luma_, fit);
    return !(bent && bent->receiving_half) &&
           why_implausible(solution.camera,
                           solution.marginal,
                           solution.covariance,
                           surface_,
                           when_surely_read())
               .empty();
  }

  // Nothing but the receiving half is marked: the other one's lines may lie
  // elsewhere.
  void take_marked_half() {
    if (!on_receiving_half(done_.marks, surface_.net)) return;
    RefinedCamera fit =
        refine_camera(luma_,
                      begin_,
                      surface_,
                      receiving_half_lines(done_.lines, surface_.net),
                      done_.marks,
                      done_.solver,
                      scaled_px(kReach_px));
    if (!fit.solution.solved || !weigh(fit, fit.lines).could_stand() ||
        !fit_residual(fit, fit.lines, done_.marks, limits_).within) {
      return;
    }
    done_.warnings.push_back(
        "the lines of the launcher's half are not where those of the receiving "
        "half have them, which alone is calibrated: the table's halves are not "
        "in one line, or not in one plane");
    take(std::move(fit));
  }

  // Lines that the marks know nothing of must bear it out, and every mark.
  bool take_cut_out() {
    if (lens_) return false;
    auto cut = find_cut_out(
        luma_, begin_, surface_, done_.lines, done_.marks, done_.solver);
    if (!cut || any_off(cut->fit.solution.camera, done_.marks) ||
        !fit_residual(cut->fit, cut->fit.lines, done_.marks, limits_).within) {
      return false;
    }
    done_.warnings.push_back(cut->words());
    take(std::move(cut->fit));
    done_.solver = cut->solver;
    return true;
  }

  // Lines by themselves fit a flat table, and one mark alone is not on it.
  bool one_mark_is_wrong() const {
    const RefinedCamera fit = refine_camera(luma_,
                                            done_.fit.solution.camera,
                                            surface_,
                                            done_.lines,
                                            {},
                                            done_.solver,
                                            scaled_px(kReach_px));
    const auto off = [&](const MarkedPoint& mark) {
      return mark_miss_px(fit.solution.camera, mark) > off_limit_px(mark);
    };
    return fit.solution.solved && weigh(fit, fit.lines).could_stand() &&
           fit_residual(fit, fit.lines, {}, limits_).within && believed(fit) &&
           std::count_if(done_.marks.begin(), done_.marks.end(), off) <= 1;
  }

  // The marks are right, and the table is not flat.
  void take_uneven() {
    if (one_mark_is_wrong()) return;
    const CameraSolution from_marks =
        solve_camera(begin_, done_.lines, {}, done_.marks, done_.solver);
    if (!from_marks.solved) return;
    auto fit = fit_uneven_table(luma_,
                                from_marks.camera,
                                surface_,
                                done_.lines,
                                done_.marks,
                                done_.solver);
    if (!fit || any_off(fit->solution.camera, done_.marks) ||
        !weigh(*fit, fit->lines).could_stand() ||
        !uneven_residual(*fit, fit->lines, done_.marks, limits_).within) {
      return;
    }
    done_.uneven = true;
    take(std::move(*fit));
  }

  const cv::Mat& luma_;
  const Surface& surface_;
  const std::optional<KnownLens>& lens_;
  const CalibrationLimits& limits_;
  CameraModel begin_;  // from the marks on the surface
  MarkedCamera done_;
};

}  // namespace

double mark_miss_px(const CameraModel& camera, const MarkedPoint& mark) {
  const auto p = camera.project(mark.x_in_table_m);
  return p ? (*p - mark.picture_px).norm() : 1e9;
}

MarkedCamera camera_from_marks(const cv::Mat& luma,
                               const Surface& surface,
                               const std::vector<SurfaceLine>& lines,
                               const std::vector<MarkedPoint>& marks,
                               const std::optional<KnownLens>& lens,
                               const CameraSolverOptions& solver,
                               const CalibrationLimits& limits) {
  MarkedCamera begin;
  begin.lines = lines;
  begin.marks = marks;
  begin.solver = solver;
  return Marking(luma, surface, lens, limits, std::move(begin)).run();
}

}  // namespace evenfeed
