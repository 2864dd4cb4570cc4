// SPDX-License-Identifier: MIT
// An SVG drawing in the table frame: millimetres in, picture units out, with
// +x to the right and +y up. Colours are left to the page's style by class.
#pragma once

#include "base/units.h"
#include "report/ellipse.h"

#include <string>
#include <string_view>
#include <vector>

#include <Eigen/Core>

namespace evenfeed {

/// The part of the plane a drawing shows, mm.
struct View {
  Eigen::Vector2d low_mm = Eigen::Vector2d::Zero();
  Eigen::Vector2d high_mm = Eigen::Vector2d::Zero();

  void include(const Eigen::Vector2d& point_mm, double margin_mm = 0);
  bool contains(const Eigen::Vector2d& point_mm) const;
  Eigen::Vector2d size_mm() const { return high_mm - low_mm; }
};

/// Pages' maps are so many picture units wide.
inline constexpr double kMapWidth_px = 1000;

/// A place of the plane, as drawings take it.
inline Eigen::Vector2d plan_mm(const Eigen::Vector2d& x_m) {
  return x_m * mm_from_m(1);
}

enum class Mark { kCircle, kTriangle, kCross, kSquare, kBar };

class SvgCanvas {
 public:
  /// The drawing is `width_px` picture units wide; its height follows.
  SvgCanvas(const View& view, double width_px);

  void rectangle(const Eigen::Vector2d& low_mm,
                 const Eigen::Vector2d& high_mm,
                 std::string_view style_class);
  void line(const Eigen::Vector2d& from_mm,
            const Eigen::Vector2d& to_mm,
            std::string_view style_class);
  /// Through all of them in turn; nothing for fewer than two.
  void polyline(const std::vector<Eigen::Vector2d>& through_mm,
                std::string_view style_class);
  void ellipse(const Ellipse& ellipse_mm, std::string_view style_class);
  /// A mark of the given size in picture units; `title` shows on hovering.
  void mark(Mark mark,
            const Eigen::Vector2d& at_mm,
            double radius_px,
            std::string_view style_class,
            std::string_view title);
  /// What is drawn until unlink() leads to this address in the page. With
  /// `by_keyboard` the Tab key stops there: a drawing among many of the same
  /// feeds does without.
  void link(std::string_view address, bool by_keyboard = true);
  void unlink() { body_ += "</a>\n"; }
  /// `anchor` is SVG's text-anchor: start, middle, end.
  void label(const Eigen::Vector2d& at_mm,
             std::string_view text,
             std::string_view style_class,
             std::string_view anchor = "middle");

  double px_per_mm() const { return scale_; }
  /// The whole <svg> element; `description` is read to those who cannot see.
  std::string finish(std::string_view description) const;

 private:
  Eigen::Vector2d at(const Eigen::Vector2d& x_mm) const;
  View view_;
  double scale_;
  std::string body_;
};

}  // namespace evenfeed
