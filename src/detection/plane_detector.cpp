// SPDX-License-Identifier: MIT
#include "detection/plane_detector.h"

#include "detection/cast_shadow.h"
#include "detection/streak_patch.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace evenfeed {
namespace {

// A frame with more of its cells changed than this shows no single ball.
constexpr double kCrowded = 0.5;
constexpr double kColourLeastStep = 4;  // levels
constexpr double kQuiet = 1.25;  // cells up to so many least steps are quiet

// The diameter of the smallest ball in each band of cells.
std::vector<double> least_diameters_px(const BallScale& scale,
                                       const Background& background) {
  std::vector<double> least;
  const int bands = cells_across(background.region().height_px());
  for (int band = 0; band < bands; ++band) {
    const CellSpan& cells = background.cells(band);
    const double v = (band + 0.5) * kCell_px;
    double least_px =
        scale.at({(cells.first + 0.5) * kCell_px, v}).least_diameter_px;
    for (int part = 1; part <= 4; ++part) {
      const double cell = cells.first + part * (cells.last - cells.first) / 4.0;
      least_px =
          std::min(least_px, scale.at({cell * kCell_px, v}).least_diameter_px);
    }
    least.push_back(least_px);
  }
  return least;
}

// Several of the compared rows cross the smallest ball of each band. Wherever
// it lies, it covers a quarter of its disc in one cell at least: in noise half
// of that must have changed.
std::vector<BandLook> band_looks(const std::vector<double>& least_px) {
  std::vector<BandLook> looks;
  for (const double least : least_px) {
    BandLook look;
    look.row_step = least >= 12 ? 4 : (least >= 5 ? 2 : 1);
    const double quarter_px = std::min(std::numbers::pi / 16 * least * least,
                                       0.5 * kCell_px * kCell_px);
    look.needed_in_noise = static_cast<int>(0.5 * quarter_px / look.row_step);
    looks.push_back(look);
  }
  return looks;
}

BackgroundOptions background_options(const DetectorOptions& options,
                                     PlaneKind kind) {
  BackgroundOptions background = options.background;
  if (kind == PlaneKind::kColour) {
    background.least_step = std::min(background.least_step, kColourLeastStep);
    background.follow_gain = false;
  }
  return background;
}

// Colour differences are mixed as they are stored.
ToneOptions tone_options(const DetectorOptions& options, PlaneKind kind) {
  return kind == PlaneKind::kBrightness ? options.tone : ToneOptions{1, 0, 255};
}

// Longer than a ball flies while the shutter is open, whatever its shadow adds:
// a person's edge, whose large patches took most of the time.
double longest_px(const BallLimits& limits) {
  return limits.most_streak_px + limits.most_diameter_px;
}

bool too_long(const Streak& streak, const BallLimits& limits) {
  return 2 * streak.half_px.norm() > longest_px(limits);
}

// What a ball does to this plane.
ChangeSign wanted_change(const DetectorOptions& options, PlaneKind kind) {
  if (kind == PlaneKind::kColour) return ChangeSign::kEither;
  return options.shade == BallShade::kBrighter ? ChangeSign::kUp
                                               : ChangeSign::kDown;
}

bool touches_edge(const Streak& streak, const cv::Mat& plane) {
  const Eigen::Array2d half =
      streak.half_px.array().abs() + streak.radius_px + 0.5;
  const Eigen::Array2d low = streak.centre_px.array() - half;
  const Eigen::Array2d high = streak.centre_px.array() + half;
  return low.minCoeff() < -0.5 || high.x() > plane.cols - 0.5 ||
         high.y() > plane.rows - 0.5;
}

const Sighting* at_one_place(const std::vector<Sighting>& sightings,
                             const Eigen::Vector2d& centre_px) {
  const auto found = std::find_if(
      sightings.begin(), sightings.end(), [&](const Sighting& seen) {
        return (seen.centre_px - centre_px).norm() < ball_reach_px(seen);
      });
  return found == sightings.end() ? nullptr : &*found;
}

// One ball may come out of two candidates; the surer sighting stays.
std::vector<Sighting> without_doubles(std::vector<Sighting> sightings) {
  std::stable_sort(sightings.begin(), sightings.end(), [](auto& a, auto& b) {
    return a.sigma_px < b.sigma_px;
  });
  std::vector<Sighting> kept;
  for (const Sighting& seen : sightings) {
    const bool again =
        std::any_of(kept.begin(), kept.end(), [&](const Sighting& other) {
          return (seen.centre_px - other.centre_px).norm() <
                 0.5 * other.diameter_px;
        });
    if (!again) kept.push_back(seen);
  }
  return kept;
}

}  // namespace

PlaneDetector::PlaneDetector(const DetectorOptions& options,
                             PlaneKind kind,
                             const BallScale& scale,
                             const PictureRegion& region)
    : options_(options),
      kind_(kind),
      scale_(scale),
      tone_(tone_options(options, kind)),
      background_(background_options(options, kind), region),
      least_diameters_px_(least_diameters_px(scale, background_)),
      changes_(region.width_px(),
               band_looks(least_diameters_px_),
               kQuiet * background_options(options, kind).least_step,
               wanted_change(options, kind)) {
  if (kind == PlaneKind::kColour) {
    finders_.emplace_back(scale_, +1);
    finders_.emplace_back(scale_, -1);
  } else {
    finders_.emplace_back(scale_,
                          options.shade == BallShade::kBrighter ? 1 : -1);
  }
}

void PlaneDetector::learn(const std::vector<cv::Mat>& stills) {
  background_.learn(stills);
}

std::vector<Sighting> PlaneDetector::detect(const cv::Mat& plane,
                                            double t_s,
                                            DetectorCounts& counts,
                                            const BrightLook& bright) {
  if (!background_.learned()) background_.learn({plane});
  background_.begin_frame(plane);
  gather(plane, counts);
  std::erase_if(candidates_, [&](const Candidate& candidate) {
    return !worth_a_look(candidate, bright);
  });
  std::vector<Sighting> sightings;
  for (const Candidate& candidate : candidates_) {
    const StreakFit result = fit(plane, candidate);
    if (const auto two = two_balls(plane, candidate, result)) {
      for (const StreakFit& ball : *two) {
        sightings.push_back(sighting(plane, ball));
      }
      continue;
    }
    if (!accept(candidate, result, counts)) continue;
    sightings.push_back(sighting(plane, result));
    Sighting& seen = sightings.back();
    if (!seen.cut_off) {
      kind_ == PlaneKind::kColour ? remember_colour(result, bright)
                                  : remember(result);
    }
    if (as_bright_as_two(candidate, result)) {
      // Two that overlap too far to be told apart: somewhere on either.
      seen.sigma_px = std::hypot(seen.sigma_px, seen.diameter_px / 4);
    }
  }
  background_.end_frame(plane, t_s);
  return without_doubles(std::move(sightings));
}

void PlaneDetector::gather(const cv::Mat& plane, DetectorCounts& counts) {
  candidates_.clear();
  const std::vector<ChangedArea>& areas = changes_.find(plane, background_);
  counts.areas += static_cast<long>(areas.size());
  if (changes_.changed_part() > kCrowded) {
    ++counts.crowded;
    return;
  }
  for (const ChangedArea& area : areas) {
    if (too_small(area)) {
      ++counts.too_small;
      continue;
    }
    for (CandidateFinder& finder : finders_) {
      const CandidateFinder::Count count =
          finder.find(plane, background_, changes_, area, candidates_);
      counts.too_large += count.too_large;
      counts.too_small += count.too_small;
    }
  }
  counts.candidates += static_cast<long>(candidates_.size());
  std::erase_if(candidates_, [&](const Candidate& candidate) {
    return !worth_a_fit(candidate, counts);
  });
  keep_clearest(counts);
}

// A key frame of a compressed film may renew hundreds of patches at once; there
// are never so many balls, and each fit takes its time.
void PlaneDetector::keep_clearest(DetectorCounts& counts) {
  constexpr std::size_t kMostFits = 24;
  if (candidates_.size() <= kMostFits) return;
  const auto clearness = [](const Candidate& candidate) {
    return candidate.pixels * std::abs(candidate.step);
  };
  std::stable_sort(
      candidates_.begin(), candidates_.end(), [&](auto& a, auto& b) {
        return clearness(a) > clearness(b);
      });
  counts.faint += static_cast<long>(candidates_.size() - kMostFits);
  candidates_.resize(kMostFits);
}

// A noisy film has hundreds of specks in each frame: those that cannot hold a
// candidate, though the compared rows saw but half of it, are not looked at
// pixel by pixel.
bool PlaneDetector::too_small(const ChangedArea& area) const {
  const auto* first = least_diameters_px_.data() + area.box.y / kCell_px;
  const double least_px =
      *std::min_element(first, first + area.box.height / kCell_px);
  return 2 * area.pixels < CandidateFinder::fewest_pixels(least_px);
}

// What the brightness shows is looked at whatever its colour is, so a session
// may go on with other balls.
bool PlaneDetector::worth_a_look(const Candidate& candidate,
                                 const BrightLook& bright) const {
  const Eigen::Vector2d centre_px = centre_in_picture(candidate.start);
  if (unlike_balls(candidate)) {
    return at_one_place(bright.seen, centre_px) != nullptr;
  }
  const Sighting* const same = at_one_place(bright.enough, centre_px);
  return same == nullptr || std::abs(candidate.step) >= same->contrast;
}

// Once it is known of what colour balls are, it is known what one changes in
// this plane all in all, however far it goes while the shutter is open: the
// patches that noise and compression leave are less, or of the other sign. Two
// kinds of balls in turn lie within the spread.
bool PlaneDetector::unlike_balls(const Candidate& candidate) const {
  // Of a ball's light. In the noisy film of tests/bench/throughput balls show
  // 0.56 and more, half of the patches less than 0.1.
  constexpr double kLeastPart = 0.45;
  if (kind_ != PlaneKind::kColour || !ball_brightness_.known()) return false;
  const Streak& start = candidate.start;
  const double usual = ball_brightness_.mean() - light_behind(start.centre_px);
  const double light = usual < 0 ? -candidate.light : candidate.light;
  const double least = kLeastPart * std::abs(usual) - ball_brightness_.sd();
  return light < least * std::numbers::pi * start.radius_px * start.radius_px;
}

// A fit costs far more than anything else, so what cannot become a ball gets
// none: patches longer than two balls that touch; specks of noise, which lie
// scattered over what would be the ball's way; and in the colour planes, where
// compression leaves many, those that are faint or a part of a disc only. A
// fitted ball's contrast is seldom far above the step of its brighter pixels.
bool PlaneDetector::worth_a_fit(const Candidate& candidate,
                                DetectorCounts& counts) const {
  const BallLimits& limits = candidate.limits;
  if (2 * candidate.start.half_px.norm() >
      limits.most_streak_px + 2 * limits.most_diameter_px) {
    ++counts.wrong_size;
    return false;
  }
  // Measured in the noisy and the clean film of tests/bench/throughput: balls
  // fill 0.20 of their way and more (in colour 0.42 where it is clean), half of
  // the specks in the brightness 0.05, in colour 0.15.
  constexpr double kLeastFilled = 0.15;
  constexpr double kLeastFilledInColour = 0.2;
  const double radius_px = candidate.start.radius_px;
  const double way_px2 = radius_px * (std::numbers::pi * radius_px +
                                      4 * candidate.start.half_px.norm());
  // Longer than a ball flies in an exposure are two balls that touch, 0.33 and
  // more filled, or specks in a row, whose large patches took half the time.
  constexpr double kLeastFilledLong = 0.25;
  const bool bright = kind_ == PlaneKind::kBrightness;
  const bool too_long =
      2 * candidate.start.half_px.norm() > limits.most_streak_px;
  const double least_filled = too_long ? kLeastFilledLong
                              : bright ? kLeastFilled
                                       : kLeastFilledInColour;
  if (candidate.pixels < least_filled * way_px2) {
    ++counts.misfit;
    return false;
  }
  if (bright) return true;
  constexpr double kLeastPart = 0.4;  // of the smallest ball's disc
  const double disc_px = std::numbers::pi / 4 * limits.least_diameter_px *
                         limits.least_diameter_px;
  if (std::abs(candidate.step) < 0.8 * options_.least_colour_contrast ||
      candidate.pixels < kLeastPart * disc_px) {
    ++counts.faint;
    return false;
  }
  return true;
}

StreakFit PlaneDetector::fit(const cv::Mat& plane,
                             const Candidate& candidate) const {
  Streak start = candidate.start;
  start.outline = scale_.outline(start.centre_px);
  const double brightness = tone_.light(
      static_cast<float>(candidate.step + level_behind(start.centre_px)));
  const ShadePrior shade = shade_for(start, brightness, candidate.step);
  const BallLimits& limits = candidate.limits;
  StreakFit result = fit_in(plane, start, brightness, shade, limits);
  // Where near and far look alike, the ball may be far from the likely size.
  if (!result.converged &&
      options_for(limits).radius_spread > options_.fit.radius_spread) {
    start.radius_px = candidate.own_radius_px;
    result = fit_in(plane, start, brightness, shade, limits);
  }
  if (!result.converged || too_long(result.streak, limits)) return result;
  // A first guess from half a ball may have looked at half a ball only.
  const cv::Rect window = window_around(start, plane);
  const cv::Rect needed = window_around(result.streak, plane);
  if ((needed & window).area() >= 0.9 * needed.area()) return result;
  Streak again = result.streak;
  again.radius_px = start.radius_px;
  return fit_in(plane, again, brightness, shade, limits, result.streak);
}

// A camera that looks down knows how large a ball is; along a level line of
// sight it may be near or far.
StreakFitOptions PlaneDetector::options_for(const BallLimits& limits) const {
  constexpr double kLookingDown = 0.07;  // of a camera 2.5 m and more above
  StreakFitOptions options = options_.fit;
  options.radius_spread =
      std::max(options.radius_spread, limits.likely_spread - kLookingDown);
  options.longest_px = longest_px(limits);
  return options;
}

StreakFit PlaneDetector::fit_in(const cv::Mat& plane,
                                const Streak& start,
                                double brightness,
                                const ShadePrior& shade,
                                const BallLimits& limits,
                                const std::optional<Streak>& from) const {
  const StreakFitOptions options = options_for(limits);
  const StreakPatch lit =
      patch_of(plane, background_, tone_, window_around(start, plane));
  StreakFit result = fit_streak(lit, start, brightness, shade, options, from);
  if (kind_ != PlaneKind::kBrightness ||
      options_.shade != BallShade::kBrighter ||
      too_long(result.streak, limits)) {
    return result;
  }
  // The first time the outline is still drawn away from the shadow.
  for (int pass = 0; pass < 2 && result.converged; ++pass) {
    if (step_in_levels(result) < options_.least_contrast) break;
    const auto better = fit_beside_shadow(
        result, lit, start.radius_px, brightness, shade, options);
    if (!better) break;
    result = *better;
  }
  return result;
}

Eigen::Vector2d PlaneDetector::centre_in_picture(const Streak& streak) const {
  return scale_.in_picture(streak.centre_px);
}

double PlaneDetector::level_behind(const Eigen::Vector2d& at_px) const {
  const PictureRegion& region = background_.region();
  const int u = std::clamp(
      static_cast<int>(std::lround(at_px.x())), 0, region.width_px() - 1);
  const int v = std::clamp(
      static_cast<int>(std::lround(at_px.y())), 0, region.height_px() - 1);
  return background_.expected(u, v);
}

double PlaneDetector::light_behind(const Eigen::Vector2d& at_px) const {
  return tone_.light(static_cast<float>(level_behind(at_px)));
}

// A ball has one colour all over, wherever the light comes from.
ShadePrior PlaneDetector::shade_for(const Streak& start,
                                    double brightness,
                                    double step) const {
  if (kind_ == PlaneKind::kBrightness) {
    return shades_.at(scale_.ray_in_camera(start.centre_px));
  }
  constexpr double kUneven = 0.1;  // of the step
  ShadePrior shade;
  shade.parts = {1, 0, 0, 0};
  shade.parts_sd = kUneven * std::abs(step) / std::max(brightness, 1.0);
  shade.scale_sd = std::abs(step) / std::max(brightness, 1.0);
  return shade;
}

bool PlaneDetector::accept(const Candidate& candidate,
                           const StreakFit& fit,
                           DetectorCounts& counts) const {
  if (!fit.converged) {
    ++counts.no_fit;
    return false;
  }
  const BallLimits& limits = candidate.limits;
  const double diameter = 2 * fit.streak.radius_px;
  if (diameter < limits.least_diameter_px ||
      diameter > limits.most_diameter_px ||
      2 * fit.streak.half_px.norm() > limits.most_streak_px) {
    ++counts.wrong_size;
    return false;
  }
  const double least = kind_ == PlaneKind::kColour
                           ? options_.least_colour_contrast
                           : options_.least_contrast;
  if (step_in_levels(fit) * (candidate.step > 0 ? 1 : -1) < least) {
    ++counts.faint;
    return false;
  }
  if (fit.rms > options_.most_misfit * std::abs(fit.contrast)) {
    ++counts.misfit;
    return false;
  }
  return background_.region().contains(fit.streak.centre_px.x(),
                                       fit.streak.centre_px.y());
}

double PlaneDetector::step_in_levels(const StreakFit& fit) const {
  return tone_.level(fit.brightness) -
         tone_.level(fit.brightness - fit.contrast);
}

// Only balls that fit well and stand out teach how the light falls.
void PlaneDetector::remember(const StreakFit& fit) {
  const Streak& streak = fit.streak;
  if (fit.rms > kFitsWell * std::abs(fit.contrast)) return;
  ball_brightness_.take(fit.brightness);
  if (fit.brightness <= 0) return;
  Eigen::Vector4d parts;
  parts << streak.ambient, streak.lamp;
  shades_.take(parts / fit.brightness,
               streak.edge_px,
               scale_.ray_in_camera(streak.centre_px));
}

// What colours alone show may be anything.
void PlaneDetector::remember_colour(const StreakFit& fit,
                                    const BrightLook& bright) {
  if (at_one_place(bright.well, centre_in_picture(fit.streak)) != nullptr) {
    ball_brightness_.take(fit.brightness);
  }
}

// The fit's ball is lit evenly from one side; a real one is dark beyond the
// terminator, and takes light from table and walls. Where its dark side can no
// longer be told from what lies behind it, that moves its middle, and all of a
// film's balls alike. A steep rule: at 0.7 of the contrast the middle is still
// as good as anywhere, at 0.8 it was off by 6 % of the radius.
double PlaneDetector::shade_doubt_px(const StreakFit& fit) const {
  constexpr double kMostUneven = 1.4;
  const double uneven = std::min(kMostUneven,
                                 fit.streak.lamp.head<2>().norm() /
                                     std::max(std::abs(fit.contrast), 1e-9));
  return options_.shade_doubt * fit.streak.radius_px * std::pow(uneven, 8);
}

Sighting PlaneDetector::sighting(const cv::Mat& plane,
                                 const StreakFit& fit) const {
  Sighting seen;
  const Streak& streak = fit.streak;
  const double step = scale_.step();
  seen.centre_px = scale_.in_picture(
      streak.centre_px -
      scale_.shift_px(streak.centre_px, 2 * streak.radius_px));
  seen.diameter_px = step * 2 * streak.radius_px;
  seen.streak_px = step * 2 * streak.half_px;
  seen.contrast = std::abs(step_in_levels(fit));
  seen.cut_off =
      touches_edge(streak, plane) || fit.hidden_part > options_.most_hidden;
  const double sigma =
      options_.sigma_factor * std::sqrt(fit.covariance_px2.trace() / 2);
  seen.sigma_px = std::hypot(
      step * sigma, step * shade_doubt_px(fit), options_.sigma_floor_px);
  if (seen.cut_off) seen.sigma_px = std::max(2 * seen.sigma_px, 0.5);
  return seen;
}

}  // namespace evenfeed
