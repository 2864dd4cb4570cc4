// SPDX-License-Identifier: MIT
#include "calibration/calibration_overlay.h"

#include "base/units.h"
#include "film/video_source.h"

#include <algorithm>
#include <cmath>
#include <sstream>

#include <fmt/format.h>
#include <opencv2/imgproc.hpp>

namespace evenfeed {
namespace {

constexpr double kMagnify = 40;  // of the residuals
constexpr int kShift = 4;        // fractional bits of drawn coordinates

const cv::Scalar kPaint(235, 190, 60);
const cv::Scalar kNet(60, 150, 250);
const cv::Scalar kResidual(190, 70, 240);
const cv::Scalar kMark(90, 230, 250);
const cv::Scalar kAlong(70, 70, 235);
const cv::Scalar kAcross(90, 200, 90);
const cv::Scalar kInk(245, 245, 245);

class Canvas {
 public:
  Canvas(const cv::Mat& background, const CameraModel& camera, int rotation_deg)
      : camera_(camera), rotation_(rotation_deg), stored_(background.size()) {
    cv::Mat upright = turned_for_display(background, rotation_deg);
    cv::cvtColor(upright, picture_, cv::COLOR_GRAY2BGR);
    picture_.convertTo(picture_, -1, 0.85, 0);
    unit_ = std::max(picture_.cols, picture_.rows) / 1280.0;
  }

  cv::Mat& picture() { return picture_; }
  double unit() const { return unit_; }

  // From the stored picture to the upright one.
  Eigen::Vector2d shown(const Eigen::Vector2d& p) const {
    switch (rotation_) {
      case 90:
        return {stored_.height - 1 - p.y(), p.x()};
      case 180:
        return {stored_.width - 1 - p.x(), stored_.height - 1 - p.y()};
      case 270:
        return {p.y(), stored_.width - 1 - p.x()};
      default:
        return p;
    }
  }

  void segment(const Eigen::Vector2d& a,
               const Eigen::Vector2d& b,
               const cv::Scalar& colour,
               int thickness = 1) {
    const auto fixed = [this](const Eigen::Vector2d& p) {
      const Eigen::Vector2d s = shown(p) * (1 << kShift);
      return cv::Point(static_cast<int>(std::lround(s.x())),
                       static_cast<int>(std::lround(s.y())));
    };
    if (!near(a) || !near(b)) return;
    cv::line(
        picture_, fixed(a), fixed(b), colour, thickness, cv::LINE_AA, kShift);
  }

  // A table line, bent as the lens bends it.
  void curve(const Eigen::Vector3d& from,
             const Eigen::Vector3d& to,
             const cv::Scalar& colour,
             int thickness = 1) {
    constexpr int kPieces = 48;
    std::optional<Eigen::Vector2d> last;
    for (int i = 0; i <= kPieces; ++i) {
      const auto p = camera_.project(from + (to - from) * i / kPieces);
      if (p && last) segment(*last, *p, colour, thickness);
      last = p;
    }
  }

  void label(const Eigen::Vector2d& at,
             const std::string& text,
             const cv::Scalar& colour,
             double size) {
    if (!near(at)) return;
    const Eigen::Vector2d s = shown(at);
    write({static_cast<int>(s.x() + 4 * unit_),
           static_cast<int>(s.y() - 4 * unit_)},
          text,
          colour,
          size);
  }

  // From the bottom up, in as many lines as the picture's width asks for.
  void paragraph(const std::string& text, const cv::Scalar& colour) {
    constexpr double kSize = 0.5;
    const int thick = std::max(1, static_cast<int>(std::lround(unit_)));
    const int room = picture_.cols - 16;
    int below = 0;
    std::vector<std::string> lines(1);
    std::istringstream words(text);
    for (std::string word; words >> word;) {
      std::string& line = lines.back();
      const std::string longer = line.empty() ? word : line + " " + word;
      const int width =
          cv::getTextSize(
              longer, cv::FONT_HERSHEY_SIMPLEX, kSize * unit_, thick, &below)
              .width;
      if (width > room && !line.empty()) {
        lines.push_back(word);
      } else {
        line = longer;
      }
    }
    const int step = static_cast<int>(std::lround(20 * unit_));
    int y = picture_.rows - 10 - step * (static_cast<int>(lines.size()) - 1);
    for (const std::string& line : lines) {
      write({8, y}, line, colour, kSize);
      y += step;
    }
  }

  void write(cv::Point at,
             const std::string& text,
             const cv::Scalar& colour,
             double size) {
    const int thick = std::max(1, static_cast<int>(std::lround(unit_)));
    int below = 0;
    const cv::Size box = cv::getTextSize(
        text, cv::FONT_HERSHEY_SIMPLEX, size * unit_, thick, &below);
    at.x = std::clamp(at.x, 2, std::max(2, picture_.cols - box.width - 2));
    at.y = std::clamp(at.y, box.height + 2, picture_.rows - 2);
    cv::putText(picture_,
                text,
                at,
                cv::FONT_HERSHEY_SIMPLEX,
                size * unit_,
                cv::Scalar(20, 20, 20),
                thick + 2,
                cv::LINE_AA);
    cv::putText(picture_,
                text,
                at,
                cv::FONT_HERSHEY_SIMPLEX,
                size * unit_,
                colour,
                thick,
                cv::LINE_AA);
  }

 private:
  // Near enough to the picture for fixed-point drawing.
  bool near(const Eigen::Vector2d& p) const {
    return p.allFinite() && p.cwiseAbs().maxCoeff() < 30000;
  }

  const CameraModel& camera_;
  int rotation_;
  cv::Size stored_;
  cv::Mat picture_;
  double unit_ = 1;
};

void draw_lines(Canvas& canvas, const CalibrationResult& result) {
  for (const SurfaceLine& line : result.lines) {
    const cv::Scalar& colour = line.net ? kNet : kPaint;
    canvas.curve(line.low_from_m, line.low_to_m, colour);
    canvas.curve(line.high_from_m, line.high_to_m, colour);
  }
}

void draw_residuals(Canvas& canvas, const CalibrationResult& result) {
  const auto& residuals = result.fit.solution.cut_residual_px;
  for (std::size_t i = 0; i < result.fit.cuts.size(); ++i) {
    if (i >= residuals.size() || !std::isfinite(residuals[i])) continue;
    const LineCut& cut = result.fit.cuts[i];
    const double length = std::clamp(kMagnify * residuals[i], -60.0, 60.0);
    canvas.segment(
        cut.measured_px, cut.measured_px + length * cut.normal, kResidual);
  }
}

void draw_points(Canvas& canvas,
                 const Surface& surface,
                 const CalibrationResult& result) {
  const CameraModel& camera = result.fit.solution.camera;
  std::vector<Eigen::Vector2d> taken;
  for (const Landmark& landmark : surface.landmarks()) {
    const auto p = camera.project(landmark.x_in_table_m);
    if (!p || !camera.in_picture(*p)) continue;
    const bool crowded =
        std::any_of(taken.begin(), taken.end(), [&](const auto& q) {
          return (q - *p).norm() < 26 * canvas.unit();
        });
    if (crowded) continue;
    taken.push_back(*p);
    canvas.label(*p, landmark.name, kPaint, 0.34);
  }
  for (const MarkedPoint& mark : result.marks) {
    const Eigen::Vector2d arm{6 * canvas.unit(), 0}, leg{0, 6 * canvas.unit()};
    canvas.segment(mark.picture_px - arm, mark.picture_px + arm, kMark);
    canvas.segment(mark.picture_px - leg, mark.picture_px + leg, kMark);
    const auto p = camera.project(mark.x_in_table_m);
    if (p) canvas.segment(mark.picture_px, *p, kResidual);
  }
}

void draw_axes(Canvas& canvas,
               const Surface& surface,
               const CalibrationResult& result) {
  const CameraModel& camera = result.fit.solution.camera;
  const double start = result.bench.half_table ? surface.length_m / 5 : 0;
  const double x = surface.length_m * 0.36, y = surface.width_m * 0.3;
  const int thick = std::max(2, static_cast<int>(2 * canvas.unit()));
  const auto arrow = [&](const Eigen::Vector3d& tip,
                         const cv::Scalar& colour,
                         const std::string& text) {
    const Eigen::Vector3d from{start, 0, 0};
    const Eigen::Vector3d along = (tip - from).normalized();
    const Eigen::Vector3d across{-along.y(), along.x(), 0};
    canvas.curve(from, tip, colour, thick);
    for (const double side : {-1.0, 1.0}) {
      canvas.curve(
          tip, tip - 0.06 * along + side * 0.03 * across, colour, thick);
    }
    const auto p = camera.project(tip);
    if (p) canvas.label(*p, text, colour, 0.5);
  };
  arrow({x, 0, 0}, kAlong, "x, to the receiving end");
  arrow({start, y, 0}, kAcross, "y");
}

std::string summary(const CalibrationResult& result) {
  if (!result.done()) return result.message;
  const Bench& bench = result.bench;
  return fmt::format(
      "residual {:.3f} px, {:.2f} mm at the table ({} points, drawn x{:.0f}); "
      "camera {:.0f} +- {:.0f} mm above it; focal {:.0f} +- {:.0f} px",
      bench.residual_px,
      bench.residual_mm,
      bench.landmarks,
      kMagnify,
      mm_from_m(result.height_m),
      mm_from_m(result.height_sd_m),
      bench.camera.lens.focal_px,
      result.focal_sd_px);
}

}  // namespace

cv::Mat draw_overlay(const cv::Mat& background,
                     const Surface& surface,
                     const CalibrationResult& result) {
  const CameraModel& camera = result.fit.solution.camera;
  Canvas canvas(background, camera, result.rotation_deg);
  if (result.fit.solution.solved) {
    draw_lines(canvas, result);
    draw_residuals(canvas, result);
    draw_points(canvas, surface, result);
    if (result.done()) draw_axes(canvas, surface, result);
  }
  canvas.paragraph(summary(result), kInk);
  return canvas.picture();
}

}  // namespace evenfeed
