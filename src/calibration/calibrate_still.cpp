// SPDX-License-Identifier: MIT
#include "calibration/calibrate_still.h"

#include "base/check.h"
#include "base/units.h"
#include "calibration/bent_lines.h"
#include "calibration/bright_enough.h"
#include "calibration/calibration.h"
#include "calibration/calibration_files.h"
#include "calibration/cut_out_picture.h"
#include "calibration/fit_residual.h"
#include "calibration/marked_camera.h"
#include "calibration/misfit_words.h"
#include "calibration/plausible_camera.h"
#include "calibration/table_choice.h"
#include "calibration/table_ends.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// What an axis beside the middle must leave of the residual, at most, to be
// believed in place of a table that is not flat.
constexpr double kCutOutShare = 0.5;

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
    if (settle_ends() && still_stands() && within_limits()) finish();
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

  std::string implausible(const PlausibleCamera& bounds) const {
    const CameraSolution& solution = result_.fit.solution;
    return why_implausible(solution.camera,
                           solution.marginal,
                           solution.covariance,
                           surface_,
                           bounds);
  }

  bool shows_all() const {
    return result_.score && result_.score->total() >= kShowsAll_nats;
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
    if (stands) try_cut_out(choice, *best);
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
    if (stands) return settle_ends() && still_stands();
    return fail(CalibrationStatus::kNoTable, why_not(verdict));
  }

  std::string why_not(const ReadingVerdict& verdict) const {
    if (verdict.against.empty() || verdict.confirmed < 3) {
      return fmt::format(
          "no {} found in the picture: the best guess shows only {} of its "
          "lines. {}",
          surface_.name,
          verdict.confirmed,
          kMarkByHand);
    }
    return fmt::format("no {} found in the picture that can be believed: {}",
                       surface_.name,
                       verdict.against);
  }

  // Lines that fit no flat table may fit one in a picture that was cut out: if
  // that leaves half of what the whole picture does, read this way or
  // otherwise.
  void try_cut_out(const TableChoice& choice, const TableCandidate& best) {
    if (lens_) return;
    const auto mm_left = [&](const RefinedCamera& fit) {
      return fit_residual(fit, fit.lines, {}, options_.limits).mm;
    };
    const double whole_mm = mm_left(result_.fit);
    if (whole_mm <= mm_from_m(options_.limits.max_residual_m)) return;
    auto cut = find_cut_out(luma_,
                            result_.fit.solution.camera,
                            surface_,
                            result_.lines,
                            {},
                            solver_);
    if (!cut) return;
    const double least_mm = mm_left(cut->fit) / kCutOutShare;
    if (whole_mm < least_mm ||
        fits_otherwise(choice.candidates(), best, surface_, least_mm)) {
      return;
    }
    result_.warnings.push_back(cut->words());
    take(std::move(cut->fit));
    solver_ = cut->solver;
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

  // Refined anew from the other end, a table that is not flat may lose lines
  // that were there when it was chosen.
  bool still_stands() {
    const ReadingVerdict now = weigh(result_.fit, result_.lines);
    if (now.could_stand()) return true;
    return fail(
        CalibrationStatus::kBadFit,
        fmt::format("of the {} found, {} lines are not where the others have "
                    "them: it is not flat, or not of the profile's size. {}",
                    surface_.name,
                    now.missing,
                    kMarkByHand));
  }

  bool from_marks() {
    MarkedCamera marked = camera_from_marks(luma_,
                                            surface_,
                                            result_.lines,
                                            options_.marks,
                                            lens_,
                                            solver_,
                                            options_.limits);
    result_.warnings = std::move(marked.warnings);
    if (marked.status != CalibrationStatus::kDone) {
      return fail(marked.status, std::move(marked.message));
    }
    result_.fit = std::move(marked.fit);
    result_.lines = std::move(marked.lines);
    result_.marks = std::move(marked.marks);
    solver_ = marked.solver;
    uneven_ = marked.uneven;
    result_.bench.half_table = only_one_half(result_.fit, result_.lines);
    return true;
  }

  // Residuals into the bench; false when they are above the profile's limit.
  bool within_limits() {
    const FitResidual left =
        uneven_
            ? uneven_residual(
                  result_.fit, result_.lines, result_.marks, options_.limits)
            : fit_residual(result_.fit,
                           result_.lines,
                           result_.marks,
                           options_.limits,
                           shows_all());
    result_.bench.residual_px = left.px;
    result_.bench.residual_mm = left.mm;
    if (!left.within) {
      return fail(CalibrationStatus::kBadFit,
                  misfit_words(luma_, result_, left, solver_, options_.limits));
    }
    bent_ = find_bent_line(luma_, result_.fit);
    if (bent_ && bent_->receiving_half && !uneven_) {
      return fail(CalibrationStatus::kBadFit, bent_refusal(*bent_));
    }
    const bool sure = shows_all() || !result_.marks.empty();
    const std::string why =
        implausible(sure ? when_surely_read() : PlausibleCamera{});
    return why.empty() || fail(CalibrationStatus::kBadFit,
                               "the camera cannot be trusted: " + why);
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
    warn_of_doubt();
    result_.status = CalibrationStatus::kDone;
  }

  void warn_of_warped_table() {
    if (bent_) {
      result_.warnings.push_back(
          bent_words(*bent_) + ". Landings may be off by a part of that" +
          (uneven_ ? "; marks of nothing but the receiving half may do better"
                   : ""));
    }
    const Bench& bench = result_.bench;
    const double allowed_mm = mm_from_m(options_.limits.max_residual_m);
    if (bench.residual_mm <= allowed_mm) return;
    // Lines so thin or so far off that the picture cannot say it better.
    if (bench.residual_px <= kFinest_px && !uneven_) {
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

  // A table surely read may leave more open than another.
  void warn_of_doubt() {
    if (implausible({}).empty()) return;
    result_.warnings.push_back(fmt::format(
        "where the camera stands is known to {:.0f} mm only, and the focal "
        "length to {:.0f} %: heights above the table and speeds are known less "
        "well. Say --camera-height or give --lens",
        mm_from_m(result_.eye_sd_m.maxCoeff()),
        100 * result_.focal_sd_px / result_.bench.camera.lens.focal_px));
  }

  void warn_of_squeeze() {
    if (result_.fit.cuts.empty()) return;
    std::string words = squeeze_words(result_, solver_);
    if (!words.empty()) result_.warnings.push_back(std::move(words));
  }

  const cv::Mat luma_;
  const Surface& surface_;
  const CalibrationOptions& options_;
  std::optional<KnownLens> lens_;
  CameraSolverOptions solver_;
  std::optional<double> flight_along_x_;
  std::optional<BentLine> bent_;
  bool uneven_ = false;  // MarkedCamera::uneven
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
