// SPDX-License-Identifier: MIT
#include "detection/ball_detector.h"

#include "base/check.h"
#include "base/error.h"
#include "detection/plane_detector.h"
#include "film/video_samples.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <optional>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// A pixel of a colour plane stands for two by two pixels of the picture.
constexpr double kColourStep = 2;
constexpr double kColourOrigin_px = 0.5;
constexpr double kColourFloor_px = 0.15;
constexpr double kColourSeenWell_px = 0.5;

// Balls seen this well in the brightness need no colours, and balls seen that
// well say how far colours can be believed.
constexpr double kSeenWell_px = 0.3, kSeenBest_px = 0.15;

// Where a film's colour pixels lie against its brightness is not told reliably
// by the file: half a pixel is at stake. What is beyond that is the light, not
// the file.
class ColourShift {
 public:
  const Eigen::Vector2d& px() const { return shift_px_; }
  bool known() const { return count_ >= 50; }
  void take(const Eigen::Vector2d& colour_less_brightness_px) {
    constexpr double kMost_px = 0.5;
    constexpr double kFirstCount = 10;
    constexpr double kMostCount = 1000;
    count_ = std::min(count_ + 1, kMostCount);
    shift_px_ +=
        (colour_less_brightness_px - shift_px_) / (kFirstCount + count_);
    shift_px_ = shift_px_.cwiseMax(-kMost_px).cwiseMin(kMost_px);
  }

 private:
  Eigen::Vector2d shift_px_ = Eigen::Vector2d::Zero();
  double count_ = 0;
};

// How many times more a colour plane errs beside what its fit says than the
// brightness does, whose residuals go together over smaller blocks of a
// compressed film. In twelve films of tests/bench/worlds the brightness errs by
// 2.3 times what its fits say, colours by 1.5 to 7. Learned from balls that are
// seen best in the brightness.
class ColourDoubt {
 public:
  double factor() const {
    constexpr double kBrightness = 2;
    return std::max(1.0, std::sqrt(square_) / kBrightness);
  }
  void take(const Sighting& colour, const Sighting& brightness) {
    constexpr double kFirstCount = 10;
    constexpr double kMostCount = 200;
    constexpr double kMostSquare = 100;  // beyond it is something else
    const double sigma2 = colour.sigma_px * colour.sigma_px +
                          brightness.sigma_px * brightness.sigma_px;
    const double seen =
        (colour.centre_px - brightness.centre_px).squaredNorm() / (2 * sigma2);
    count_ = std::min(count_ + 1, kMostCount);
    square_ += (std::min(seen, kMostSquare) - square_) / (kFirstCount + count_);
  }

 private:
  double square_ = 3.5 * 3.5;
  double count_ = 0;
};

Sighting* nearest(std::vector<Sighting>& sightings, const Sighting& to) {
  Sighting* best = nullptr;
  double least = ball_reach_px(to);
  for (Sighting& seen : sightings) {
    const double distance = (seen.centre_px - to.centre_px).norm();
    if (distance < least) {
      least = distance;
      best = &seen;
    }
  }
  return best;
}

// Both say where the ball is; each counts by its certainty.
void join(Sighting& seen, const Sighting& colour) {
  const double a = 1 / (seen.sigma_px * seen.sigma_px);
  const double b = 1 / (colour.sigma_px * colour.sigma_px);
  seen.centre_px = (a * seen.centre_px + b * colour.centre_px) / (a + b);
  seen.sigma_px = 1 / std::sqrt(a + b);
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
  require_in_range(least_colour_contrast, 1, 255, "least_colour_contrast");
  require_in_range(most_misfit, 0.01, 10, "most_misfit");
  require_in_range(most_hidden, 0, 1, "most_hidden");
  require_positive(most_speed_mps, "most_speed_mps");
  require_in_range(size_tolerance, 0, 2, "size_tolerance");
  require_in_range(least_diameter_px, 3, 1000, "least_diameter_px");
  require_in_range(
      most_diameter_px, least_diameter_px, 1000, "most_diameter_px");
  require_positive(sigma_floor_px, "sigma_floor_px");
  require_not_negative(shade_doubt, "shade_doubt");
  require_in_range(sigma_factor, 0.1, 10, "sigma_factor");
}

DetectorCounts& DetectorCounts::operator+=(const DetectorCounts& other) {
  frames += other.frames;
  areas += other.areas;
  candidates += other.candidates;
  sightings += other.sightings;
  colour_only += other.colour_only;
  too_large += other.too_large;
  too_small += other.too_small;
  no_fit += other.no_fit;
  wrong_size += other.wrong_size;
  faint += other.faint;
  misfit += other.misfit;
  crowded += other.crowded;
  return *this;
}

struct BallDetector::Impl {
  DetectorOptions options;
  std::optional<CameraModel> camera;
  PlaneDetector brightness;
  std::vector<PlaneDetector> colours;  // blue, red
  std::array<ColourDoubt, 2> colour_doubts;
  ColourShift colour_shift;
  DetectorCounts brightness_counts;
  DetectorCounts colour_counts;

  Impl(const DetectorOptions& given,
       std::optional<CameraModel> camera_model,
       const BallScale& scale,
       const PictureRegion& region)
      : options(given),
        camera(std::move(camera_model)),
        brightness(given, PlaneKind::kBrightness, scale, region) {
    if (!options.use_colour) return;
    for (int i = 0; i < 2; ++i) {
      colours.emplace_back(given,
                           PlaneKind::kColour,
                           scale.on_plane(kColourStep, kColourOrigin_px),
                           region.halved());
    }
  }

  void learn(const std::vector<Frame>& stills);
  std::vector<Sighting> add_colour(const Frame& frame,
                                   std::vector<Sighting> sightings);
  BrightLook bright_look(const std::vector<Sighting>& bright) const;
  void compare(const Sighting& colour,
               std::vector<Sighting>& bright,
               ColourDoubt& doubt);
  void join_colour(const Sighting& colour, std::vector<Sighting>& sightings);
};

void BallDetector::Impl::learn(const std::vector<Frame>& stills) {
  std::vector<cv::Mat> luma, blue, red;
  for (const Frame& still : stills) {
    luma.push_back(still.luma);
    if (!still.blue.empty()) blue.push_back(still.blue);
    if (!still.red.empty()) red.push_back(still.red);
  }
  brightness.learn(luma);
  if (colours.empty() || blue.empty() || red.empty()) return;
  colours[0].learn(blue);
  colours[1].learn(red);
}

std::vector<Sighting> BallDetector::Impl::add_colour(
    const Frame& frame, std::vector<Sighting> sightings) {
  DetectorCounts& counts = colour_counts;
  const cv::Mat* const planes[2] = {&frame.blue, &frame.red};
  BrightLook look = bright_look(sightings);
  for (std::size_t i = 0; i < colours.size(); ++i) {
    if (planes[i]->empty()) continue;
    ColourDoubt& doubt = colour_doubts[i];
    for (Sighting& colour :
         colours[i].detect(*planes[i], frame.t_s, counts, look)) {
      colour.sigma_px = std::hypot(colour.sigma_px, kColourFloor_px);
      compare(colour, look.seen, doubt);
      colour.centre_px -= colour_shift.px();
      colour.sigma_px *= doubt.factor();
      join_colour(colour, sightings);
    }
  }
  for (Sighting& seen : sightings) {
    seen.frame = frame.index;
    seen.t_s = camera ? camera->mid_exposure_s(frame.t_s, seen.centre_px.y())
                      : frame.t_s;
  }
  std::stable_sort(sightings.begin(), sightings.end(), [](auto& a, auto& b) {
    return a.centre_px.x() < b.centre_px.x();
  });
  counts.sightings += static_cast<long>(sightings.size());
  return sightings;
}

// Once it is known where colours lie, they need not look again at what the
// brightness showed well.
BrightLook BallDetector::Impl::bright_look(
    const std::vector<Sighting>& bright) const {
  BrightLook look;
  look.seen = bright;
  std::copy_if(bright.begin(),
               bright.end(),
               std::back_inserter(look.well),
               [](const Sighting& seen) {
                 return !seen.cut_off && seen.sigma_px <= kSeenWell_px;
               });
  if (colour_shift.known()) look.enough = look.well;
  return look;
}

void BallDetector::Impl::compare(const Sighting& colour,
                                 std::vector<Sighting>& bright,
                                 ColourDoubt& doubt) {
  const Sighting* const same = nearest(bright, colour);
  if (same == nullptr || same->cut_off || colour.cut_off ||
      same->sigma_px > kSeenWell_px) {
    return;
  }
  if (same->sigma_px <= kSeenBest_px) {
    Sighting in_place = colour;
    in_place.centre_px -= colour_shift.px();
    doubt.take(in_place, *same);
  }
  if (colour.sigma_px <= kColourSeenWell_px) {
    colour_shift.take(colour.centre_px - same->centre_px);
  }
}

void BallDetector::Impl::join_colour(const Sighting& colour,
                                     std::vector<Sighting>& sightings) {
  Sighting* const same = nearest(sightings, colour);
  if (same == nullptr) {
    ++colour_counts.colour_only;
    sightings.push_back(colour);
  } else if (same->cut_off == colour.cut_off) {
    join(*same, colour);
  } else if (same->cut_off) {
    *same = colour;
  }
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
  const BallSpace space = space_over_table(surface, options.margins);
  impl_ = std::make_unique<Impl>(options,
                                 camera,
                                 BallScale(camera,
                                           ball.radius_m,
                                           space,
                                           options.most_speed_mps,
                                           options.size_tolerance),
                                 region_of_space(camera, space));
}

BallDetector::~BallDetector() = default;
BallDetector::BallDetector(BallDetector&&) noexcept = default;
BallDetector& BallDetector::operator=(BallDetector&&) noexcept = default;

void BallDetector::learn(const std::vector<Frame>& stills) {
  impl_->learn(stills);
}

std::vector<Sighting> BallDetector::detect(const Frame& frame) {
  return add_colour(frame, detect_brightness(frame));
}

std::vector<Sighting> BallDetector::detect_brightness(const Frame& frame) {
  ++impl_->brightness_counts.frames;
  return impl_->brightness.detect(
      frame.luma, frame.t_s, impl_->brightness_counts);
}

std::vector<Sighting> BallDetector::add_colour(const Frame& frame,
                                               std::vector<Sighting> bright) {
  return impl_->add_colour(frame, std::move(bright));
}

DetectorCounts BallDetector::counts() const {
  DetectorCounts counts = impl_->brightness_counts;
  counts += impl_->colour_counts;
  return counts;
}
const PictureRegion& BallDetector::region() const {
  return impl_->brightness.background().region();
}
const Background& BallDetector::background() const {
  return impl_->brightness.background();
}

std::vector<Frame> opening_stills(const std::filesystem::path& film,
                                  const VideoOptions& options) {
  constexpr int kStills = 21;
  constexpr double kSpan_s = 2;
  return sample_opening(film, kStills, kSpan_s, options);
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
