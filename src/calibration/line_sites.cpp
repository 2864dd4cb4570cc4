// SPDX-License-Identifier: MIT
#include "calibration/line_sites.h"

#include "base/check.h"
#include "base/nan.h"
#include "calibration/camera_jacobian.h"
#include "calibration/camera_refiner.h"
#include "geometry/bench.h"
#include "geometry/steady_view.h"
#include "stats/cauchy_weight.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>

#include <Eigen/LU>

namespace evenfeed {
namespace {

using Vector6 = Eigen::Matrix<double, 6, 1>;
using Matrix6 = Eigen::Matrix<double, 6, 6>;

constexpr int kFewestSites = 16;

CameraModel turned_and_shifted(const CameraModel& camera, const Vector6& by) {
  Eigen::Matrix<double, kCameraParameters, 1> delta;
  delta << 0, 0, 0, by;
  return moved_camera(camera, delta);
}

// The lens did not change: only turn and shift are looked for.
CameraSolverOptions lens_as_it_is(const CameraModel& camera) {
  constexpr double kNothing = 1e-5;
  return with_lens({camera.width_px,
                    camera.height_px,
                    camera.lens,
                    kNothing,
                    kNothing / 10,
                    kNothing,
                    kNothing});
}

// What the sites say of a small move, one equation each.
struct Equations {
  std::vector<Vector6> slopes;
  std::vector<double> moved_px;
};

struct Solution {
  Vector6 move = Vector6::Zero();
  Matrix6 covariance = Matrix6::Zero();
  std::vector<double> left_px;  // of each equation
  double scatter_px = 0;        // of these, robust
};

Solution weighted_solution(const Equations& equations,
                           const std::vector<double>& weights,
                           double scatter_px,
                           const Vector6& prior_sd) {
  Matrix6 information =
      prior_sd.array().square().inverse().matrix().asDiagonal();
  Vector6 pull = Vector6::Zero();
  for (std::size_t i = 0; i < weights.size(); ++i) {
    const Vector6& slope = equations.slopes[i];
    const double weight = weights[i] / (scatter_px * scatter_px);
    information += weight * slope * slope.transpose();
    pull += weight * equations.moved_px[i] * slope;
  }
  Solution solution;
  solution.covariance = information.inverse();
  solution.move = solution.covariance * pull;
  for (std::size_t i = 0; i < weights.size(); ++i) {
    solution.left_px.push_back(equations.moved_px[i] -
                               equations.slopes[i].dot(solution.move));
  }
  return solution;
}

// By rounds of weights (Cauchy's), the scatter from the median residual.
Solution robust_solution(const Equations& equations,
                         const LineSiteOptions& options) {
  constexpr int kRounds = 8;
  Vector6 prior_sd;
  prior_sd << Eigen::Vector3d::Constant(options.turn_sd_rad),
      Eigen::Vector3d::Constant(options.shift_sd_m);
  std::vector<double> weights(equations.slopes.size(), 1);
  Solution solution;
  double scatter_px = options.reach_px / 3;
  for (int i = 0; i < kRounds; ++i) {
    solution = weighted_solution(equations, weights, scatter_px, prior_sd);
    std::vector<double> sizes;
    for (const double left : solution.left_px) sizes.push_back(std::abs(left));
    scatter_px = std::max(options.least_scatter_px, 1.4826 * median(sizes));
    for (std::size_t k = 0; k < weights.size(); ++k) {
      weights[k] = cauchy_weight(sizes[k] / scatter_px);
    }
  }
  solution.scatter_px = scatter_px;
  return solution;
}

// Wherever half of the residuals lie, their scatter is small: those agree that
// lie within what lines may scatter at all.
double agreeing_sites(const Solution& solution) {
  constexpr double kMostScatter_px = 0.5;
  const double within_px = 3 * std::min(solution.scatter_px, kMostScatter_px);
  double agree = 0;
  for (const double left : solution.left_px) {
    agree += std::abs(left) < within_px;
  }
  return agree;
}

}  // namespace

void LineSiteOptions::check() const {
  require_in_range(most_sites, kFewestSites, 10000, "most_sites");
  require_positive(reach_px, "reach_px");
  require_in_range(wide_reach, 0.001, 0.5, "wide_reach");
  require_positive(turn_sd_rad, "turn_sd_rad");
  require_positive(shift_sd_m, "shift_sd_m");
  require_in_range(least_share, 0.1, 1, "least_share");
  require_positive(least_scatter_px, "least_scatter_px");
}

LineSites::LineSites(const Surface& surface, const LineSiteOptions& options)
    : surface_(surface), options_(options), lines_(painted_lines(surface)) {
  options.check();
  search_.reach_px = options.reach_px;
}

bool LineSites::choose(const cv::Mat& luma, const CameraModel& camera) {
  const AllCuts all = cut_all_lines(luma, camera, surface_, lines_, search_);
  sites_.clear();
  places_m_.clear();
  const std::size_t step =
      1 + all.cuts.size() / static_cast<std::size_t>(options_.most_sites);
  for (std::size_t i = step / 2; i < all.cuts.size(); i += step) {
    const LineCut& cut = all.cuts[i];
    sites_.push_back({cut.line, cut.along});
    places_m_.push_back(lines_[cut.line].middle_m(cut.along));
  }
  zero_px_.assign(sites_.size(), 0);
  return sites_.size() >= kFewestSites;
}

std::vector<double> LineSites::offsets_px(const cv::Mat& luma,
                                          const CameraModel& camera) const {
  std::vector<double> offsets;
  for (const Site& site : sites_) {
    const auto cut =
        cut_line_at(luma, camera, lines_[site.line], site.along, search_);
    offsets.push_back(cut ? cut->offset_px : kNaN);
  }
  return offsets;
}

void LineSites::set_zero(std::vector<double> offsets_px) {
  require(offsets_px.size() == sites_.size(), "set_zero: one offset per site");
  zero_px_ = std::move(offsets_px);
}

std::optional<Vector6> LineSites::slope(const CameraModel& camera,
                                        const Site& site) const {
  const SurfaceLine& line = lines_[site.line];
  const auto bar = predict_bar(camera, line, site.along);
  if (!bar) return std::nullopt;
  const auto p = project_with_jacobian(
      lens_vector(camera.lens),
      Eigen::Vector3d::Zero(),
      camera.camera_from_table.translation_m,
      camera.camera_from_table.rotation.toRotationMatrix(),
      line.middle_m(site.along));
  Vector6 slope;
  slope << p.by_turn.transpose() * bar->normal,
      p.by_translation.transpose() * bar->normal;
  return slope;
}

std::optional<FoundCamera> LineSites::solve(
    const CameraModel& start, const std::vector<double>& offsets_px) const {
  Equations equations;
  for (std::size_t i = 0; i < sites_.size(); ++i) {
    const double moved_px = offsets_px[i] - zero_px_[i];
    if (!std::isfinite(moved_px)) continue;
    const auto by = slope(start, sites_[i]);
    if (!by) continue;
    equations.slopes.push_back(*by);
    equations.moved_px.push_back(moved_px);
  }
  const double enough =
      options_.least_share * static_cast<double>(sites_.size());
  const auto count = static_cast<double>(equations.slopes.size());
  if (count < enough) return std::nullopt;
  const Solution solution = robust_solution(equations, options_);
  if (agreeing_sites(solution) < enough) return std::nullopt;
  double variance_px2 = 0;
  for (const Vector6& by : equations.slopes) {
    variance_px2 += by.dot(solution.covariance * by);
  }
  // Each site tells one direction of two.
  const double px_per_m = start.lens.focal_px / start.eye_in_table_m().norm();
  return FoundCamera{turned_and_shifted(start, solution.move),
                     std::sqrt(2 * variance_px2 / count) / px_per_m};
}

std::optional<FoundCamera> LineSites::find(const cv::Mat& luma,
                                           const CameraModel& start) const {
  constexpr int kRounds = 4;
  constexpr double kArrived_m = 2e-4;
  std::optional<FoundCamera> found;
  CameraModel camera = start;
  for (int i = 0; i < kRounds; ++i) {
    found = solve(camera, offsets_px(luma, camera));
    if (!found) return found;
    const double moved_m = shift_at_table_m(camera, found->camera, places_m_);
    camera = found->camera;
    if (moved_m < kArrived_m) break;
  }
  return found;
}

std::optional<FoundCamera> LineSites::find_far(const cv::Mat& luma,
                                               const CameraModel& start) const {
  const RefinedCamera fit = refine_camera(luma,
                                          start,
                                          surface_,
                                          lines_,
                                          {},
                                          lens_as_it_is(start),
                                          options_.wide_reach * luma.cols);
  if (!fit.solution.solved) return std::nullopt;
  return find(luma, fit.solution.camera);
}

}  // namespace evenfeed
