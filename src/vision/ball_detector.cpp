// SPDX-License-Identifier: MIT
#include "vision/ball_detector.h"

#include "base/check.h"
#include "base/error.h"
#include "vision/candidate_finder.h"
#include "vision/change_finder.h"
#include "vision/streak_model.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// A frame with more of its cells changed than this shows no single ball.
constexpr double kCrowded = 0.5;

int row_step_for(double least_diameter_px) {
  return least_diameter_px >= 16 ? 4 : (least_diameter_px >= 6 ? 2 : 1);
}

// The patch around a streak: its outline and enough background to see the soft
// edge end.
cv::Rect window_around(const Streak& streak, const cv::Mat& luma) {
  const double reach = stretch(streak.outline) * streak.radius_px + 4;
  const Eigen::Array2d half = streak.half_px.array().abs() + reach;
  const Eigen::Array2d low = streak.centre_px.array() - half;
  const Eigen::Array2d high = streak.centre_px.array() + half;
  const cv::Point first(static_cast<int>(std::floor(low.x())),
                        static_cast<int>(std::floor(low.y())));
  const cv::Point last(static_cast<int>(std::ceil(high.x())) + 1,
                       static_cast<int>(std::ceil(high.y())) + 1);
  return cv::Rect(first, last) & cv::Rect(0, 0, luma.cols, luma.rows);
}

StreakPatch patch_of(const cv::Mat& luma,
                     const Background& background,
                     const ToneCurve& tone,
                     const cv::Rect& window) {
  StreakPatch patch;
  patch.origin = window.tl();
  patch.seen.create(window.height, window.width, CV_32FC1);
  patch.expected.create(window.height, window.width, CV_32FC1);
  patch.sigma.create(window.height, window.width, CV_32FC1);
  for (int row = 0; row < window.height; ++row) {
    const int v = window.y + row;
    const auto* from = luma.ptr<std::uint8_t>(v) + window.x;
    const std::int16_t* mean = background.mean_row(v) + window.x;
    const auto scale =
        static_cast<float>(background.gain(v) / Background::kMeanScale);
    auto* seen = patch.seen.ptr<float>(row);
    auto* expected = patch.expected.ptr<float>(row);
    auto* sigma = patch.sigma.ptr<float>(row);
    for (int i = 0; i < window.width; ++i) {
      const float level = from[i];
      seen[i] = tone.light(level);
      expected[i] = tone.light(scale * mean[i]);
      sigma[i] = static_cast<float>(background.noise(from[i])) *
                 std::max(tone.slope(level), 0.3F);
    }
  }
  return patch;
}

bool touches_edge(const Streak& streak, const cv::Mat& luma) {
  const Eigen::Array2d half =
      streak.half_px.array().abs() + streak.radius_px + 0.5;
  const Eigen::Array2d low = streak.centre_px.array() - half;
  const Eigen::Array2d high = streak.centre_px.array() + half;
  return low.minCoeff() < -0.5 || high.x() > luma.cols - 0.5 ||
         high.y() > luma.rows - 0.5;
}

}  // namespace

void DetectorOptions::check() const {
  background.check();
  tone.check();
  fit.check();
  require_not_negative(margins.along_m, "margins.along_m");
  require_not_negative(margins.across_m, "margins.across_m");
  require_positive(margins.height_m, "margins.height_m");
  require_in_range(least_contrast, 1, 255, "least_contrast");
  require_in_range(most_misfit, 0.01, 10, "most_misfit");
  require_positive(most_speed_mps, "most_speed_mps");
  require_in_range(size_tolerance, 0, 2, "size_tolerance");
  require_in_range(least_diameter_px, 3, 1000, "least_diameter_px");
  require_in_range(
      most_diameter_px, least_diameter_px, 1000, "most_diameter_px");
  require_positive(sigma_floor_px, "sigma_floor_px");
  require_in_range(sigma_factor, 0.1, 10, "sigma_factor");
}

struct BallDetector::Impl {
  DetectorOptions options;
  std::optional<CameraModel> camera;
  BallScale scale;
  Background background;
  ChangeFinder changes;
  CandidateFinder finder;
  ToneCurve tone;
  ShadeMemory shades;
  DetectorCounts counts;
  std::vector<Candidate> candidates;

  Impl(const DetectorOptions& given,
       std::optional<CameraModel> camera_model,
       BallScale ball_scale,
       PictureRegion region)
      : options(given),
        camera(std::move(camera_model)),
        scale(std::move(ball_scale)),
        background(given.background, region),
        changes(region.width_px(),
                region.height_px(),
                row_step_for(scale.least_diameter_px())),
        finder(scale, sign()),
        tone(given.tone) {}

  double step_in_levels(const StreakFit& fit) const {
    return tone.level(fit.brightness) -
           tone.level(fit.brightness - fit.contrast);
  }
  int sign() const { return options.shade == BallShade::kBrighter ? 1 : -1; }

  std::vector<Sighting> detect(const Frame& frame);
  StreakFit fit(const cv::Mat& luma, const Candidate& candidate) const;
  bool accept(const StreakFit& fit, const BallLimits& limits);
  void remember(const StreakFit& fit);
  Sighting sighting(const Frame& frame, const StreakFit& fit) const;
  static void drop_doubles(std::vector<Sighting>& sightings);
};

std::vector<Sighting> BallDetector::Impl::detect(const Frame& frame) {
  ++counts.frames;
  if (!background.learned()) background.learn({frame.luma});
  background.begin_frame(frame.luma);
  candidates.clear();
  const std::vector<ChangedArea>& areas = changes.find(frame.luma, background);
  counts.areas += static_cast<long>(areas.size());
  if (changes.changed_part() > kCrowded) {
    ++counts.crowded_frames;
  } else {
    for (const ChangedArea& area : areas) {
      const CandidateFinder::Count count =
          finder.find(frame.luma, background, changes, area, candidates);
      counts.too_large += count.too_large;
      counts.too_small += count.too_small;
    }
  }
  counts.candidates += static_cast<long>(candidates.size());
  std::vector<Sighting> sightings;
  for (const Candidate& candidate : candidates) {
    const StreakFit result = fit(frame.luma, candidate);
    if (accept(result, candidate.limits)) {
      sightings.push_back(sighting(frame, result));
      if (!sightings.back().cut_off) remember(result);
    }
  }
  drop_doubles(sightings);
  counts.sightings += static_cast<long>(sightings.size());
  background.end_frame(frame.luma, frame.t_s);
  return sightings;
}

StreakFit BallDetector::Impl::fit(const cv::Mat& luma,
                                  const Candidate& candidate) const {
  Streak start = candidate.start;
  start.outline = scale.outline(start.centre_px);
  const int u = std::clamp(
      static_cast<int>(std::lround(start.centre_px.x())), 0, luma.cols - 1);
  const int v = std::clamp(
      static_cast<int>(std::lround(start.centre_px.y())), 0, luma.rows - 1);
  const auto behind = static_cast<double>(background.expected(u, v));
  const double brightness =
      tone.light(static_cast<float>(candidate.step + behind));
  const ShadePrior shade = shades.at(scale.ray_in_camera(start.centre_px));
  cv::Rect window = window_around(start, luma);
  StreakFit result = fit_streak(patch_of(luma, background, tone, window),
                                start,
                                brightness,
                                shade,
                                options.fit);
  // A first guess from half a ball may have looked at half a ball only.
  if (!result.converged) return result;
  const cv::Rect needed = window_around(result.streak, luma);
  if ((needed & window).area() < 0.9 * needed.area()) {
    Streak again = result.streak;
    again.radius_px = start.radius_px;
    window = needed;
    result = fit_streak(patch_of(luma, background, tone, window),
                        again,
                        brightness,
                        shade,
                        options.fit);
  }
  return result;
}

bool BallDetector::Impl::accept(const StreakFit& fit,
                                const BallLimits& limits) {
  if (!fit.converged) {
    ++counts.no_fit;
    return false;
  }
  const double diameter = 2 * fit.streak.radius_px;
  if (diameter < limits.least_diameter_px ||
      diameter > limits.most_diameter_px ||
      2 * fit.streak.half_px.norm() > limits.most_streak_px) {
    ++counts.wrong_size;
    return false;
  }
  if (sign() * step_in_levels(fit) < options.least_contrast) {
    ++counts.faint;
    return false;
  }
  if (fit.rms > options.most_misfit * std::abs(fit.contrast)) {
    ++counts.misfit;
    return false;
  }
  return background.region().contains(fit.streak.centre_px.x(),
                                      fit.streak.centre_px.y());
}

// Only balls that fit well and stand out teach how the light falls.
void BallDetector::Impl::remember(const StreakFit& fit) {
  const Streak& streak = fit.streak;
  if (fit.rms > 0.08 * std::abs(fit.contrast) || fit.brightness <= 0) return;
  Eigen::Vector4d parts;
  parts << streak.ambient, streak.lamp;
  shades.take(parts / fit.brightness,
              streak.edge_px,
              scale.ray_in_camera(streak.centre_px));
}

Sighting BallDetector::Impl::sighting(const Frame& frame,
                                      const StreakFit& fit) const {
  Sighting seen;
  const Streak& streak = fit.streak;
  seen.frame = frame.index;
  seen.centre_px =
      streak.centre_px - scale.shift_px(streak.centre_px, 2 * streak.radius_px);
  seen.t_s = camera ? camera->mid_exposure_s(frame.t_s, streak.centre_px.y())
                    : frame.t_s;
  seen.diameter_px = 2 * streak.radius_px;
  seen.streak_px = 2 * streak.half_px;
  seen.contrast = std::abs(step_in_levels(fit));
  seen.cut_off =
      touches_edge(streak, frame.luma) || fit.hidden_part > options.most_hidden;
  const double sigma =
      options.sigma_factor * std::sqrt(fit.covariance_px2.trace() / 2);
  seen.sigma_px = std::hypot(sigma, options.sigma_floor_px);
  if (seen.cut_off) seen.sigma_px = std::max(2 * seen.sigma_px, 0.5);
  return seen;
}

// One ball may come out of two candidates; the surer sighting stays.
void BallDetector::Impl::drop_doubles(std::vector<Sighting>& sightings) {
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
  std::stable_sort(kept.begin(), kept.end(), [](auto& a, auto& b) {
    return a.centre_px.x() < b.centre_px.x();
  });
  sightings = std::move(kept);
}

BallDetector::BallDetector(const DetectorOptions& options,
                           int width_px,
                           int height_px) {
  options.check();
  BallLimits limits;
  limits.least_diameter_px = options.least_diameter_px;
  limits.most_diameter_px = options.most_diameter_px;
  limits.most_streak_px = 8 * options.most_diameter_px;
  impl_ = std::make_unique<Impl>(options,
                                 std::nullopt,
                                 BallScale(limits),
                                 PictureRegion(width_px, height_px));
}

BallDetector::BallDetector(const DetectorOptions& options,
                           const CameraModel& camera,
                           const Surface& surface,
                           const Ball& ball) {
  options.check();
  camera.check();
  impl_ = std::make_unique<Impl>(
      options,
      camera,
      BallScale(camera,
                ball.radius_m,
                options.margins.height_m,
                options.most_speed_mps,
                options.size_tolerance),
      region_over_table(camera, surface, options.margins));
}

BallDetector::~BallDetector() = default;
BallDetector::BallDetector(BallDetector&&) noexcept = default;
BallDetector& BallDetector::operator=(BallDetector&&) noexcept = default;

void BallDetector::learn(const std::vector<cv::Mat>& stills) {
  impl_->background.learn(stills);
}

std::vector<Sighting> BallDetector::detect(const Frame& frame) {
  return impl_->detect(frame);
}

const DetectorCounts& BallDetector::counts() const { return impl_->counts; }
const PictureRegion& BallDetector::region() const {
  return impl_->background.region();
}
const Background& BallDetector::background() const { return impl_->background; }

std::vector<cv::Mat> opening_stills(const std::filesystem::path& film,
                                    const VideoOptions& options) {
  constexpr int kStills = 21;
  std::vector<cv::Mat> stills;
  for (Frame& frame : sample_opening(film, kStills, 2.0, options)) {
    stills.push_back(std::move(frame.luma));
  }
  return stills;
}

void require_same_picture(const VideoInfo& film, const CameraModel& camera) {
  if (film.width_px == camera.width_px && film.height_px == camera.height_px) {
    return;
  }
  throw InputError(
      film.file,
      fmt::format("the picture is {} x {}, the bench was calibrated with "
                  "{} x {}",
                  film.width_px,
                  film.height_px,
                  camera.width_px,
                  camera.height_px),
      "Calibrate with a film of the same size, best with this one");
}

}  // namespace evenfeed
