// SPDX-License-Identifier: MIT
#include "base/check.h"
#include "base/units.h"
#include "calibration/bent_lines.h"
#include "calibration/bright_enough.h"
#include "calibration/calibration.h"
#include "calibration/calibration_files.h"
#include "calibration/plane_camera.h"
#include "calibration/plausible_camera.h"
#include "calibration/squeeze_check.h"
#include "calibration/table_choice.h"
#include "calibration/table_ends.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

// Four points of the plane give eight numbers for pose and focal length; an
// ordinary lens is expected, and a camera left in doubt is refused.
constexpr int kLeastMarks = 4;

constexpr double kUsualWidth_px = 1920;  // max_residual_px is meant for
constexpr double kFinest_px = 0.25;      // lines are not found better than that
// A table that shows everything may be off its profile by so many times the
// limit, with a warning: halves that do not meet, or not in one line.
constexpr double kWarpedTable = 2;

// Fewer than this share of the marks may be left out as wrong ...
constexpr double kWrongMarks = 0.25;
// ... each farther off than its own sd explains, and the others much better
// without it.
constexpr double kMarkSigmas = 4;
constexpr double kMuchBetter = 0.5;
// Marks may miss by so many of their own sd, rms: those that say nothing (1 px)
// by what the profiles allow.
constexpr double kMarksMiss = 1.5;

double off_px(const CameraModel& camera, const MarkedPoint& mark) {
  const auto p = camera.project(mark.x_in_table_m);
  return p ? (*p - mark.picture_px).norm() : 1e9;
}

CameraSolverOptions solver_options(const CalibrationOptions& options,
                                   const std::optional<KnownLens>& lens) {
  CameraSolverOptions solver = lens ? with_lens(*lens) : CameraSolverOptions{};
  if (options.camera_height_m) {
    solver.height_m =
        Expected{*options.camera_height_m, options.camera_height_sd_m};
  }
  return solver;
}

class Calibration {
 public:
  Calibration(const cv::Mat& background,
              const Surface& surface,
              const CalibrationOptions& options)
      : luma_(bright_enough(background)), surface_(surface), options_(options) {
    if (options.lens) {
      lens_ = lens_for_size(*options.lens, luma_.cols, luma_.rows);
    }
    if (options.marks_size) {
      check_marks_size(*options.marks_size, luma_.cols, luma_.rows);
    }
    solver_ = solver_options(options, lens_);
    result_.lines = painted_lines(surface);
    if (surface.net.present && options.limits.net_band_m > 0) {
      result_.lines.push_back(net_tape(
          surface.net, options.limits.net_band_m, options.limits.net_sd_m, 0));
    }
    result_.marks = options.marks;
    result_.rotation_deg = options.rotation_deg;
  }

  CalibrationResult run() {
    const bool found = options_.marks.empty() ? from_lines() : from_marks();
    if (found && within_limits()) finish();
    return std::move(result_);
  }

  CalibrationResult go_on(CalibrationResult undecided, double flight_along_x) {
    flight_along_x_ = flight_along_x;
    result_ = std::move(undecided);
    result_.message.clear();
    if (settle_ends() && within_limits()) finish();
    return std::move(result_);
  }

 private:
  bool fail(CalibrationStatus status, std::string message) {
    result_.status = status;
    result_.message = std::move(message);
    return false;
  }

  RefinedCamera refine(const CameraModel& start, double reach) const {
    return refine_camera(
        luma_, start, surface_, result_.lines, result_.marks, solver_, reach);
  }

  std::string implausible(const RefinedCamera& fit) const {
    return why_implausible(fit.solution.camera,
                           fit.solution.marginal,
                           fit.solution.covariance,
                           surface_);
  }

  void take(RefinedCamera fit) {
    result_.fit = std::move(fit);
    result_.lines = result_.fit.lines;
  }

  bool from_lines() {
    TableChoice choice(luma_, surface_, result_.lines, lens_, solver_);
    choice.search();
    const TableCandidate* const best = choice.best();
    if (!best) {
      return fail(
          CalibrationStatus::kNoTable,
          fmt::format(
              "no {} found in the picture. {}", surface_.name, kMarkByHand));
    }
    const ReadingVerdict verdict = best->verdict;
    const std::optional<double> second = choice.runner_up(*best);
    result_.score = best->score;
    if (second) result_.margin_nats = verdict.nats() - *second;
    const bool stands = best->believable();
    take(best->fit);
    if (stands && second && *result_.margin_nats < kLeastMargin_nats) {
      return fail(CalibrationStatus::kNoTable,
                  fmt::format("the lines can be read in two ways that explain "
                              "the picture about as well, {:.1f} and {:.1f} "
                              "nats, at least {:.0f} apart are needed. {}",
                              verdict.nats(),
                              *second,
                              kLeastMargin_nats,
                              kMarkByHand));
    }
    if (stands) return settle_ends();
    return fail(
        CalibrationStatus::kNoTable,
        verdict.against.empty() || verdict.borne_out < 3
            ? fmt::format("no {} found in the picture: the best guess shows "
                          "only {} of its lines. {}",
                          surface_.name,
                          verdict.borne_out,
                          kMarkByHand)
            : fmt::format("no {} found in the picture that can be believed: {}",
                          surface_.name,
                          verdict.against));
  }

  // Which end is which, for a surface that looks the same from both.
  bool settle_ends() {
    result_.bench.half_table = only_one_half(result_.fit, result_.lines);
    EndChoice choice;
    choice.half = result_.bench.half_table;
    choice.visible_end_is_far = far_end_in_view(result_.fit, result_.lines);
    choice.said = options_.launcher_end;
    choice.flight_along_x = flight_along_x_;
    choice.rotation_deg = options_.rotation_deg;
    const EndDecision decision =
        choose_end(result_.fit.solution.camera, surface_, choice);
    if (!decision.message.empty()) {
      return fail(decision.wrong_half ? CalibrationStatus::kWrongHalf
                                      : CalibrationStatus::kWhichEnd,
                  decision.message);
    }
    if (!decision.turn) return true;
    // The turned camera shows every line at the same place; refining again
    // puts the right names to the cuts.
    take(refine(half_turn(result_.fit.solution.camera), 4));
    return result_.fit.solution.solved ||
           fail(CalibrationStatus::kFailed, result_.fit.solution.message);
  }

  bool from_marks() {
    const int given = static_cast<int>(result_.marks.size());
    if (given < kLeastMarks) {
      return fail(CalibrationStatus::kTooFewLines,
                  fmt::format("{} points are marked, at least {} are needed. "
                              "Mark more landmarks of the surface",
                              given,
                              kLeastMarks));
    }
    std::vector<PlanePoint> plane;
    for (const MarkedPoint& mark : result_.marks) {
      if (std::abs(mark.x_in_table_m.z()) < 1e-9) {
        plane.push_back({mark.x_in_table_m.head<2>(), mark.picture_px});
      }
    }
    std::optional<LensModel<double>> lens;
    if (lens_) lens = lens_->lens;
    const auto start = camera_from_plane(plane, luma_.cols, luma_.rows, lens);
    if (!start) {
      return fail(CalibrationStatus::kTooFewLines,
                  "the marked points on the surface do not determine a camera. "
                  "Mark at least 4 points on the surface, not on one line, and "
                  "check their names");
    }
    CameraSolution solution =
        solve_camera(start->camera, result_.lines, {}, result_.marks, solver_);
    if (!solution.solved) {
      return fail(CalibrationStatus::kFailed,
                  solution.message + ". Check the marked points");
    }
    refine_marked(solution);
    leave_out_net_marks();
    leave_out_wrong_marks();
    return true;
  }

  double mark_off_px(const MarkedPoint& mark) const {
    return off_px(result_.fit.solution.camera, mark);
  }

  // One mark in the wrong place, or with the wrong name, among many: the one
  // without which the others fit best goes first, as long as one is off.
  void leave_out_wrong_marks() {
    const double most = kWrongMarks * static_cast<double>(result_.marks.size());
    for (int left_out = 1; left_out < most; ++left_out) {
      const bool any_off = std::any_of(
          result_.marks.begin(), result_.marks.end(), [&](const auto& mark) {
            return mark_off_px(mark) > off_limit_px(mark);
          });
      if (!any_off || !leave_out_one()) return;
    }
  }

  double off_limit_px(const MarkedPoint& mark) const {
    return std::max(mark_off_limit_px(luma_.cols), kMarkSigmas * mark.sigma_px);
  }

  bool leave_out_one() {
    const CameraSolution& before = result_.fit.solution;
    std::size_t wrong = result_.marks.size();
    CameraSolution best;
    best.point_rms_px = kMuchBetter * before.point_rms_px;
    for (std::size_t i = 0; i < result_.marks.size(); ++i) {
      std::vector<MarkedPoint> others = result_.marks;
      others.erase(others.begin() + i);
      if (static_cast<int>(others.size()) < kLeastMarks) return false;
      CameraSolution without = solve_camera(
          before.camera, result_.lines, result_.fit.cuts, others, solver_);
      if (!without.solved || without.point_rms_px >= best.point_rms_px ||
          off_px(without.camera, result_.marks[i]) <=
              off_limit_px(result_.marks[i])) {
        continue;
      }
      best = std::move(without);
      wrong = i;
    }
    if (wrong == result_.marks.size()) return false;
    const MarkedPoint mark = result_.marks[wrong];
    result_.marks.erase(result_.marks.begin() + wrong);
    refine_marked(best);
    result_.warnings.push_back(
        fmt::format("the mark {} is {:.1f} px beside where the others have it: "
                    "it is left out. Check its name and place",
                    mark.name,
                    mark_off_px(mark)));
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
    std::vector<MarkedPoint> kept = result_.marks;
    std::erase_if(kept, on_net);
    if (kept.size() == result_.marks.size() ||
        static_cast<int>(kept.size()) < kLeastMarks) {
      return;
    }
    std::swap(kept, result_.marks);
    CameraSolution solution = solve_camera(
        result_.fit.solution.camera, result_.lines, {}, result_.marks, solver_);
    if (!solution.solved) {
      std::swap(kept, result_.marks);
      return;
    }
    const RefinedCamera with_net = std::move(result_.fit);
    refine_marked(solution);
    std::vector<std::string> off;
    for (const MarkedPoint& mark : kept) {
      if (on_net(mark) && mark_off_px(mark) > allowed_px) {
        off.push_back(
            fmt::format("{} by {:.1f} px", mark.name, mark_off_px(mark)));
      }
    }
    if (off.empty()) {
      std::swap(kept, result_.marks);
      result_.fit = with_net;
      result_.lines = with_net.lines.empty() ? result_.lines : with_net.lines;
      return;
    }
    result_.warnings.push_back(fmt::format(
        "the net is not where the lines and marks of the surface have it ({}): "
        "its marks are left out",
        fmt::join(off, ", ")));
  }

  // Lines sharpen what the marks began, where the picture shows them.
  void refine_marked(const CameraSolution& from_points) {
    RefinedCamera fit = refine(from_points.camera, 8);
    const ReadingVerdict verdict = weigh(fit, result_.lines);
    if (fit.solution.solved && verdict.shows_enough() &&
        fit.solution.inliers > 0.6) {
      take(std::move(fit));
    } else {
      result_.fit = {};
      result_.fit.solution = from_points;
      result_.fit.support.resize(result_.lines.size());
    }
    result_.bench.half_table = only_one_half(result_.fit, result_.lines);
  }

  std::string worst_mark() const {
    std::string name;
    double worst = -1;
    for (const MarkedPoint& mark : result_.marks) {
      const double off = mark_off_px(mark);
      if (off > worst) {
        worst = off;
        name = fmt::format("{} by {:.1f} px", mark.name, off);
      }
    }
    return name;
  }

  // Residuals into the bench; false when they are above the profile's limit.
  bool within_limits() {
    const CameraSolution& solution = result_.fit.solution;
    double square_m = 0;
    int n = 0;
    for (std::size_t i = 0; i < result_.fit.cuts.size(); ++i) {
      const LineCut& cut = result_.fit.cuts[i];
      const SurfaceLine& line = result_.lines[cut.line];
      const double scale =
          line.net ? 0 : px_per_m_at(solution.camera, line, cut);
      const double r = solution.cut_residual_px[i];
      if (scale <= 0 || std::abs(r) > 5 * solution.cut_rms_px) continue;
      square_m += r * r / (scale * scale);
      ++n;
    }
    Bench& bench = result_.bench;
    bench.residual_px = solution.cut_rms_px;
    bench.residual_mm = n > 0 ? mm_from_m(std::sqrt(square_m / n)) : 0;
    if (!result_.marks.empty()) add_mark_residuals(n > 0);
    const CalibrationLimits& limits = options_.limits;
    // Seen at a low angle, the best fit there is leaves some mm at the table;
    // what it leaves in doubt is judged by the covariance below, and so is what
    // marks that are said to be rough leave there.
    const double finer = std::max(1.0, luma_.cols / kUsualWidth_px);
    const double allowed_mm = mm_from_m(limits.max_residual_m);
    const bool sure = result_.score && result_.score->total() >= kShowsAll_nats;
    const bool far_off =
        !rough_marks() &&
        bench.residual_mm > (sure ? kWarpedTable : 1) * allowed_mm &&
        bench.residual_px > kFinest_px * finer;
    if (bench.residual_px > allowed_px() || far_off || solution.inliers < 0.6) {
      return fail(CalibrationStatus::kBadFit, bad_fit_message());
    }
    bent_ = find_bent_line(luma_, result_.fit);
    if (bent_ && bent_->receiving_half) {
      return fail(CalibrationStatus::kBadFit,
                  bent_words() +
                      ". Put the halves into one line, or mark the receiving "
                      "half by hand (--mark)");
    }
    const std::string why = implausible(result_.fit);
    return why.empty() || fail(CalibrationStatus::kBadFit,
                               "the camera cannot be trusted: " + why);
  }

  double usual_px() const {
    return options_.limits.max_residual_px *
           std::max(1.0, luma_.cols / kUsualWidth_px);
  }

  // The profile's limit, or what marks may miss by the sd they state.
  double allowed_px() const {
    if (result_.marks.empty()) return usual_px();
    double square = 0;
    for (const MarkedPoint& mark : result_.marks) {
      square += mark.sigma_px * mark.sigma_px;
    }
    return std::max(usual_px(),
                    kMarksMiss * std::sqrt(square / result_.marks.size()));
  }

  bool rough_marks() const { return allowed_px() > usual_px(); }

  void add_mark_residuals(bool have_cuts) {
    const CameraSolution& solution = result_.fit.solution;
    double square_m = 0;
    int n = 0;
    for (const MarkedPoint& mark : result_.marks) {
      const auto at =
          solution.camera.meet_plane(mark.picture_px, mark.x_in_table_m.z());
      if (!at) continue;
      square_m += (*at - mark.x_in_table_m).head<2>().squaredNorm() / 2;
      ++n;
    }
    Bench& bench = result_.bench;
    // Marks made by hand are judged by themselves: lines must not hide them.
    const double marks_mm = n > 0 ? mm_from_m(std::sqrt(square_m / n)) : 0;
    if (!have_cuts) {
      bench.residual_px = solution.point_rms_px;
      bench.residual_mm = marks_mm;
    } else if (solution.point_rms_px > options_.limits.max_residual_px) {
      bench.residual_px = solution.point_rms_px;
      bench.residual_mm = std::max(bench.residual_mm, marks_mm);
    }
  }

  std::string bad_fit_message() const {
    const Bench& bench = result_.bench;
    const CalibrationLimits& limits = options_.limits;
    std::string message = fmt::format(
        "the surface's lines fit badly: residual {:.2f} px ({:.2f} mm at the "
        "table), allowed {:.2f} px and {:.1f} mm, {:.0f} % of the line points "
        "agree. ",
        bench.residual_px,
        bench.residual_mm,
        allowed_px(),
        mm_from_m(limits.max_residual_m),
        100 * result_.fit.solution.inliers);
    if (!result_.marks.empty()) {
      return message + "The worst mark is " + worst_mark() +
             ". Check its name and place";
    }
    return message +
           "Look at the overlay picture: if the drawn lines miss the table, "
           "mark points by hand (--mark); if the camera moved during the "
           "film, cut the film; if the table is not the profile's, choose "
           "another profile";
  }

  void finish() {
    Bench& bench = result_.bench;
    const CameraSolution& solution = result_.fit.solution;
    bench.camera = solution.camera;
    bench.camera.exposure_s = options_.exposure_s;
    bench.camera.readout_s = options_.readout_s;
    bench.covariance = solution.covariance;
    bench.surface_name = surface_.name;
    bench.landmarks =
        static_cast<int>(result_.fit.cuts.size() + result_.marks.size());
    result_.height_m = bench.camera.eye_in_table_m().z();
    result_.eye_sd_m = eye_covariance_m2(bench.camera, solution.marginal)
                           .diagonal()
                           .cwiseMax(0)
                           .cwiseSqrt();
    result_.height_sd_m = result_.eye_sd_m.z();
    result_.focal_sd_px = std::sqrt(solution.marginal(0, 0));
    warn_of_squeeze();
    warn_of_warped_table();
    result_.status = CalibrationStatus::kDone;
  }

  std::string bent_words() const {
    return fmt::format(
        "the line {} lies up to {:.0f} mm beside where the others have it, on "
        "the {} half: the table's halves are not in one line",
        bent_->name,
        mm_from_m(bent_->off_m),
        bent_->receiving_half ? "receiving" : "launcher's");
  }

  void warn_of_warped_table() {
    if (bent_) {
      result_.warnings.push_back(bent_words() +
                                 ". Landings may be off by a part of that");
    }
    const Bench& bench = result_.bench;
    const double allowed_mm = mm_from_m(options_.limits.max_residual_m);
    if (bench.residual_mm <= allowed_mm) return;
    // Lines so thin or so far off that the picture cannot say it better.
    if (bench.residual_px <= kFinest_px) {
      result_.warnings.push_back(fmt::format(
          "{:.2f} px, as finely as lines are found, are {:.1f} mm at this "
          "table, more than {:.1f} mm: the picture shows it too small or from "
          "too low. Landings may be off by several times that; film it nearer, "
          "from higher or in more pixels",
          bench.residual_px,
          bench.residual_mm,
          allowed_mm));
      return;
    }
    result_.warnings.push_back(fmt::format(
        "the table's lines are {:.1f} mm off a flat one of the profile's size, "
        "more than {:.1f} mm: its halves may not meet or not lie in one line. "
        "Landings are off by as much",
        bench.residual_mm,
        allowed_mm));
  }

  void warn_of_squeeze() {
    const Squeeze squeeze =
        find_squeeze(result_.fit, result_.lines, result_.marks, solver_);
    if (squeeze.factor == 1) return;
    result_.warnings.push_back(fmt::format(
        "the picture seems to be squeezed: with pixels about {:.1f} times as "
        "wide as high its lines fit to {:.2f} px, with square ones to {:.2f} "
        "px; places and speeds are then wrong. If it is, mark it so: ffmpeg -i "
        "FILM -c copy -aspect W:H marked.mp4, W:H as it should be shown",
        squeeze.factor,
        squeeze.rms_px,
        squeeze.square_px));
  }

  const cv::Mat luma_;
  const Surface& surface_;
  const CalibrationOptions& options_;
  std::optional<KnownLens> lens_;
  CameraSolverOptions solver_;
  std::optional<double> flight_along_x_;
  std::optional<BentLine> bent_;
  CalibrationResult result_;
};

}  // namespace

double mark_off_limit_px(int width_px) {
  constexpr double kMarkOff_px = 4;  // of a picture 1280 wide
  return kMarkOff_px * std::max(1.0, width_px / 1280.0);
}

CalibrationResult calibrate_still(const cv::Mat& background,
                                  const Surface& surface,
                                  const CalibrationOptions& options) {
  options.check();
  require(background.type() == CV_8U && !background.empty(),
          "calibrate_still: needs an 8-bit brightness picture");
  return Calibration(background, surface, options).run();
}

CalibrationResult settle_calibration(CalibrationResult undecided,
                                     const cv::Mat& background,
                                     const Surface& surface,
                                     const CalibrationOptions& options,
                                     double flight_along_x) {
  require(undecided.status == CalibrationStatus::kWhichEnd,
          "settle_calibration: nothing is left to settle");
  return Calibration(background, surface, options)
      .go_on(std::move(undecided), flight_along_x);
}

}  // namespace evenfeed
