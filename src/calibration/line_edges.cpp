// SPDX-License-Identifier: MIT
#include "calibration/line_edges.h"

#include "base/check.h"
#include "calibration/bar_profile.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <optional>

namespace evenfeed {
namespace {

constexpr double kStep_px = 0.5;
constexpr double kBeside_px = 4;  // of a cut's ends, clear of any bar

// CV_8U with bilinear weights; the caller keeps the point inside.
double bilinear(const cv::Mat& luma, double u, double v) {
  const int c = static_cast<int>(u), r = static_cast<int>(v);
  const double a = u - c, b = v - r;
  const uchar* top = luma.ptr<uchar>(r) + c;
  const uchar* below = luma.ptr<uchar>(std::min(r + 1, luma.rows - 1)) + c;
  const int right = c + 1 < luma.cols ? 1 : 0;
  return (1 - b) * ((1 - a) * top[0] + a * top[right]) +
         b * ((1 - a) * below[0] + a * below[right]);
}

bool inside(const cv::Mat& luma, const Eigen::Vector2d& p) {
  return p.x() >= 0 && p.y() >= 0 && p.x() <= luma.cols - 1 &&
         p.y() <= luma.rows - 1;
}

// Crossing lines and the net disturb a cut: is `along` too near to one?
class Disturbed {
 public:
  Disturbed(const CameraModel& camera,
            const Surface& surface,
            const std::vector<SurfaceLine>& lines,
            int line)
      : camera_(camera), lines_(lines), line_(line) {
    const Net& net = surface.net;
    if (!net.present || lines[line].net) return;
    const std::array<Eigen::Vector3d, 4> outline{
        Eigen::Vector3d{net.x_m, -net.half_width_m, 0},
        Eigen::Vector3d{net.x_m, net.half_width_m, 0},
        Eigen::Vector3d{net.x_m, net.half_width_m, net.height_m},
        Eigen::Vector3d{net.x_m, -net.half_width_m, net.height_m}};
    for (const Eigen::Vector3d& corner : outline) {
      const auto p = camera.project(corner);
      if (p) net_px_.push_back(*p);
    }
  }

  bool operator()(double along,
                  const Eigen::Vector2d& at_px,
                  double clear_m,
                  double clear_px) const {
    Eigen::Vector3d x = lines_[line_].middle_m(along);
    if (lines_[line_].net) {  // what lies behind the tape counts
      const auto behind = camera_.meet_plane(at_px, 0);
      if (!behind) return true;
      x = *behind;
    }
    for (std::size_t i = 0; i < lines_.size(); ++i) {
      const SurfaceLine& other = lines_[i];
      if (static_cast<int>(i) == line_ || other.net) continue;
      if (x.x() > other.low_from_m.x() - clear_m &&
          x.x() < other.high_to_m.x() + clear_m &&
          x.y() > other.low_from_m.y() - clear_m &&
          x.y() < other.high_to_m.y() + clear_m) {
        return true;
      }
    }
    return net_px_.size() == 4 && distance_to_net(at_px) < clear_px;
  }

 private:
  // Signed distance to the net's outline, negative inside; exact enough
  // beside an edge, too small beyond a corner (which only leaves out more).
  double distance_to_net(const Eigen::Vector2d& p) const {
    double area = 0;
    for (int i = 0; i < 4; ++i) {
      const Eigen::Vector2d& a = net_px_[i];
      const Eigen::Vector2d& b = net_px_[(i + 1) % 4];
      area += a.x() * b.y() - a.y() * b.x();
    }
    const double turn = area > 0 ? 1 : -1;
    double outside = -1e9;
    for (int i = 0; i < 4; ++i) {
      const Eigen::Vector2d& a = net_px_[i];
      const Eigen::Vector2d side = net_px_[(i + 1) % 4] - a;
      if (side.norm() < 1e-6) continue;
      const Eigen::Vector2d out{side.y() * turn, -side.x() * turn};
      outside = std::max(outside, out.dot(p - a) / side.norm());
    }
    return outside;
  }

  const CameraModel& camera_;
  const std::vector<SurfaceLine>& lines_;
  int line_;
  std::vector<Eigen::Vector2d> net_px_;
};

// Blur happens in light, the picture stores its tone curve: fitted as stored,
// a step between dark and bright would seem to lie in the dark. The exponent
// is that of common video tone curves; the scale keeps white at white.
std::vector<double> in_linear_light(std::vector<double> grey) {
  for (double& value : grey) {
    value = 255 * std::pow(std::max(value - 16, 0.0) / 239, 2.2);
  }
  return grey;
}

bool believable(const BarProfile& bar,
                const PredictedBar& predicted,
                const LineSearch& search) {
  const double width = bar.high_px - bar.low_px;
  return bar.found && bar.contrast() > 0 && bar.rms < 0.25 * bar.contrast() &&
         std::abs(bar.middle_px()) <= search.reach_px + 1 &&
         width > (predicted.low_only ? 0.3 : 0.6) * predicted.width_px - 0.5 &&
         width < 1.5 * predicted.width_px + 1;
}

// To both sides as far as its bar may lie, and what is beside that.
double half_cut_px(const PredictedBar& predicted, const LineSearch& search) {
  return predicted.width_px / 2 + search.reach_px + 2 * kBeside_px;
}

std::vector<double> grey_across(const cv::Mat& luma,
                                const PredictedBar& predicted,
                                const LineSearch& search) {
  return sample_cut(luma,
                    predicted.middle_px,
                    predicted.normal,
                    half_cut_px(predicted, search),
                    kStep_px,
                    search.smooth_px);
}

std::optional<LineCut> cut_at(const std::vector<double>& grey,
                              const PredictedBar& predicted,
                              double along,
                              const LineSearch& search) {
  if (grey.empty()) return std::nullopt;
  const BarProfile coarse =
      coarse_bar(grey, kStep_px, predicted.width_px, search.reach_px);
  if (!coarse.found || coarse.contrast() < search.least_contrast) {
    return std::nullopt;
  }
  const BarProfile bar =
      fit_bar(in_linear_light(grey),
              kStep_px,
              coarse,
              search.blur_px,
              predicted.low_only ? BarFit::kBlurGiven : BarFit::kByWidth);
  if (!believable(bar, predicted, search)) return std::nullopt;
  LineCut cut;
  cut.along = along;
  cut.normal = predicted.normal;
  cut.offset_px = bar.middle_px();
  cut.measured_px = predicted.middle_px + cut.offset_px * cut.normal;
  if (predicted.low_only) {
    cut.measured_px = predicted.middle_px + bar.low_px * cut.normal;
    cut.offset_px = bar.low_px + predicted.width_px / 2;
  }
  cut.width_px = bar.high_px - bar.low_px;
  cut.predicted_width_px = predicted.width_px;
  cut.contrast = coarse.contrast();
  cut.blur_px = bar.blur_px;
  return cut;
}

// A border line against something as bright, a wall in the sun: only its inner
// edge is there to be seen, and no bar.
bool outshone(const std::vector<double>& grey,
              const SurfaceLine& line,
              const LineSearch& search) {
  if (!line.on_border) return false;
  const Eigen::Vector3d middle = line.middle_m(0.5);
  const bool high_is_outside = (line.along_x ? middle.y() : middle.x()) > 0;
  const auto n = static_cast<std::size_t>(kBeside_px / kStep_px);
  if (grey.size() < 2 * n) return false;
  const double low = std::accumulate(grey.begin(), grey.begin() + n, 0.0) / n;
  const double high = std::accumulate(grey.end() - n, grey.end(), 0.0) / n;
  const double brightest = *std::max_element(grey.begin(), grey.end());
  const double inside = high_is_outside ? low : high;
  const double outside = high_is_outside ? high : low;
  return outside - inside > 2 * search.least_contrast &&
         brightest - outside < search.least_contrast;
}

}  // namespace

std::optional<PredictedBar> predict_bar(const CameraModel& camera,
                                        const SurfaceLine& line,
                                        double along) {
  const double nudge = 0.01 / line.length_m();
  const auto low = camera.project(line.low_m(along));
  const auto high = camera.project(line.high_m(along));
  const auto before = camera.project(line.middle_m(along - nudge));
  const auto after = camera.project(line.middle_m(along + nudge));
  if (!low || !high || !before || !after) return std::nullopt;
  const Eigen::Vector2d tangent = (*after - *before).normalized();
  PredictedBar result;
  result.low_only = line.low_only;
  result.middle_px = (*low + *high) / 2;
  result.normal = {-tangent.y(), tangent.x()};
  result.width_px = result.normal.dot(*high - *low);
  if (result.width_px < 0) {
    result.normal = -result.normal;
    result.width_px = -result.width_px;
  }
  return result;
}

void LineSearch::check() const {
  require_positive(reach_px, "reach_px");
  require_positive(spacing_px, "spacing_px");
  require_not_negative(smooth_px, "smooth_px");
  require_positive(least_contrast, "least_contrast");
  require_positive(blur_px, "blur_px");
}

std::vector<double> sample_cut(const cv::Mat& luma,
                               const Eigen::Vector2d& centre_px,
                               const Eigen::Vector2d& normal,
                               double half_px,
                               double step_px,
                               double smooth_px) {
  const Eigen::Vector2d along{normal.y(), -normal.x()};
  for (const double a : {-1.0, 1.0}) {
    for (const double b : {-1.0, 1.0}) {
      if (!inside(luma,
                  centre_px + a * half_px * normal + b * smooth_px * along)) {
        return {};
      }
    }
  }
  const int n = static_cast<int>(half_px / step_px);
  const int m = static_cast<int>(smooth_px);
  std::vector<double> grey(2 * n + 1, 0.0);
  for (int i = -n; i <= n; ++i) {
    for (int j = -m; j <= m; ++j) {
      const Eigen::Vector2d p =
          centre_px + i * step_px * normal + static_cast<double>(j) * along;
      grey[i + n] += bilinear(luma, p.x(), p.y());
    }
    grey[i + n] /= 2 * m + 1;
  }
  return grey;
}

LineCuts cut_line(const cv::Mat& luma,
                  const CameraModel& camera,
                  const Surface& surface,
                  const std::vector<SurfaceLine>& lines,
                  int line,
                  const LineSearch& search) {
  LineCuts result;
  const Disturbed disturbed(camera, surface, lines, line);
  const SurfaceLine& bar = lines[line];
  double along = 0;
  while (along < 1) {
    // Step by the local scale, so that cuts are evenly spaced in the picture.
    const double probe_m = 0.01;
    const auto here = camera.project(bar.middle_m(along));
    const auto next =
        camera.project(bar.middle_m(along + probe_m / bar.length_m()));
    if (!here || !next) {
      along += 0.02;
      continue;
    }
    const double px_per_m = std::max((*next - *here).norm() / probe_m, 1.0);
    const double at = along;
    along +=
        std::clamp(search.spacing_px / px_per_m / bar.length_m(), 1e-3, 0.1);
    const double clear_m = (search.smooth_px + 6) / px_per_m;
    if (!inside(luma, *here) || disturbed(at, *here, clear_m, 8)) continue;
    const auto predicted = predict_bar(camera, bar, at);
    if (!predicted || predicted->width_px < 0.2) continue;
    const Eigen::Vector2d ends =
        half_cut_px(*predicted, search) * predicted->normal;
    if (!inside(luma, predicted->middle_px + ends) ||
        !inside(luma, predicted->middle_px - ends)) {
      continue;
    }
    const std::vector<double> grey = grey_across(luma, *predicted, search);
    auto cut = cut_at(grey, *predicted, at, search);
    if (!cut && outshone(grey, bar, search)) continue;
    ++result.looked;
    if (!cut) continue;
    cut->line = line;
    result.cuts.push_back(*cut);
  }
  return result;
}

std::optional<LineCut> cut_line_at(const cv::Mat& luma,
                                   const CameraModel& camera,
                                   const SurfaceLine& line,
                                   double along,
                                   const LineSearch& search) {
  const auto predicted = predict_bar(camera, line, along);
  if (!predicted) return std::nullopt;
  return cut_at(
      grey_across(luma, *predicted, search), *predicted, along, search);
}

}  // namespace evenfeed
