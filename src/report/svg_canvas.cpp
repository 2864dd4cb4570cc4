// SPDX-License-Identifier: MIT
#include "report/svg_canvas.h"

#include "base/check.h"
#include "base/units.h"
#include "report/html.h"

#include <fmt/format.h>

namespace evenfeed {

void View::include(const Eigen::Vector2d& point_mm, double margin_mm) {
  const Eigen::Vector2d margin(margin_mm, margin_mm);
  low_mm = low_mm.cwiseMin(point_mm - margin);
  high_mm = high_mm.cwiseMax(point_mm + margin);
}

bool View::contains(const Eigen::Vector2d& point_mm) const {
  return (point_mm.array() >= low_mm.array()).all() &&
         (point_mm.array() <= high_mm.array()).all();
}

SvgCanvas::SvgCanvas(const View& view, double width_px)
    : view_(view), scale_(width_px / view.size_mm().x()) {
  require(view.size_mm().minCoeff() > 0, "a drawing's view needs an area");
}

Eigen::Vector2d SvgCanvas::at(const Eigen::Vector2d& x_mm) const {
  return {(x_mm.x() - view_.low_mm.x()) * scale_,
          (view_.high_mm.y() - x_mm.y()) * scale_};
}

void SvgCanvas::rectangle(const Eigen::Vector2d& low_mm,
                          const Eigen::Vector2d& high_mm,
                          std::string_view style_class) {
  const Eigen::Vector2d corner = at({low_mm.x(), high_mm.y()});
  const Eigen::Vector2d size = (high_mm - low_mm) * scale_;
  body_ += fmt::format(
      "<rect class=\"{}\" x=\"{:.2f}\" y=\"{:.2f}\" width=\"{:.2f}\" "
      "height=\"{:.2f}\"/>\n",
      style_class,
      corner.x(),
      corner.y(),
      size.x(),
      size.y());
}

void SvgCanvas::line(const Eigen::Vector2d& from_mm,
                     const Eigen::Vector2d& to_mm,
                     std::string_view style_class) {
  const Eigen::Vector2d a = at(from_mm);
  const Eigen::Vector2d b = at(to_mm);
  body_ += fmt::format(
      "<line class=\"{}\" x1=\"{:.2f}\" y1=\"{:.2f}\" x2=\"{:.2f}\" "
      "y2=\"{:.2f}\"/>\n",
      style_class,
      a.x(),
      a.y(),
      b.x(),
      b.y());
}

void SvgCanvas::polyline(const std::vector<Eigen::Vector2d>& through_mm,
                         std::string_view style_class) {
  if (through_mm.size() < 2) return;
  body_ += fmt::format("<polyline class=\"{}\" points=\"", style_class);
  for (const Eigen::Vector2d& one : through_mm) {
    const Eigen::Vector2d p = at(one);
    body_ += fmt::format(
        "{}{:.1f},{:.1f}", &one == through_mm.data() ? "" : " ", p.x(), p.y());
  }
  body_ += "\"/>\n";
}

void SvgCanvas::ellipse(const Ellipse& ellipse_mm,
                        std::string_view style_class) {
  const Eigen::Vector2d centre = at(ellipse_mm.centre);
  // The picture's y points down, so the turn changes its sign.
  body_ += fmt::format(
      "<ellipse class=\"{0}\" cx=\"{1:.2f}\" cy=\"{2:.2f}\" rx=\"{3:.2f}\" "
      "ry=\"{4:.2f}\" transform=\"rotate({5:.2f} {1:.2f} {2:.2f})\"/>\n",
      style_class,
      centre.x(),
      centre.y(),
      ellipse_mm.semi_major * scale_,
      ellipse_mm.semi_minor * scale_,
      -deg_from_rad(ellipse_mm.angle_rad));
}

void SvgCanvas::mark(Mark mark,
                     const Eigen::Vector2d& at_mm,
                     double radius_px,
                     std::string_view style_class,
                     std::string_view title) {
  const Eigen::Vector2d c = at(at_mm);
  const double r = radius_px;
  std::string path;
  switch (mark) {
    case Mark::kCircle:
      body_ += fmt::format(
          "<circle class=\"{}\" cx=\"{:.2f}\" cy=\"{:.2f}\" r=\"{:g}\">"
          "<title>{}</title></circle>\n",
          style_class,
          c.x(),
          c.y(),
          r,
          escape_html(title));
      return;
    case Mark::kTriangle:
      path = fmt::format("M{:.2f} {:.2f}L{:.2f} {:.2f}L{:.2f} {:.2f}z",
                         c.x(),
                         c.y() - 1.2 * r,
                         c.x() + 1.1 * r,
                         c.y() + 0.8 * r,
                         c.x() - 1.1 * r,
                         c.y() + 0.8 * r);
      break;
    case Mark::kCross:
      path = fmt::format(
          "M{0:.2f} {2:.2f}L{1:.2f} {3:.2f}"
          "M{1:.2f} {2:.2f}L{0:.2f} {3:.2f}",
          c.x() - r,
          c.x() + r,
          c.y() - r,
          c.y() + r);
      break;
    case Mark::kBar:
      path = fmt::format("M{:.2f} {:.2f}h{:.2f}", c.x() - r, c.y(), 2 * r);
      break;
    case Mark::kSquare:
      path = fmt::format("M{:.2f} {:.2f}h{:.2f}v{:.2f}h-{:.2f}z",
                         c.x() - r,
                         c.y() - r,
                         2 * r,
                         2 * r,
                         2 * r);
      break;
  }
  body_ += fmt::format("<path class=\"{}\" d=\"{}\"><title>{}</title></path>\n",
                       style_class,
                       path,
                       escape_html(title));
}

void SvgCanvas::link(std::string_view address, bool by_keyboard) {
  body_ += fmt::format("<a href=\"{}\"{}>",
                       escape_html(address),
                       by_keyboard ? "" : " tabindex=\"-1\"");
}

void SvgCanvas::label(const Eigen::Vector2d& at_mm,
                      std::string_view text,
                      std::string_view style_class,
                      std::string_view anchor) {
  const Eigen::Vector2d p = at(at_mm);
  body_ += fmt::format(
      "<text class=\"{}\" x=\"{:.2f}\" y=\"{:.2f}\" text-anchor=\"{}\">{}"
      "</text>\n",
      style_class,
      p.x(),
      p.y(),
      anchor,
      escape_html(text));
}

std::string SvgCanvas::finish(std::string_view description) const {
  const Eigen::Vector2d size = view_.size_mm() * scale_;
  return fmt::format(
      "<svg viewBox=\"0 0 {:.2f} {:.2f}\" role=\"{}\" aria-label=\"{}\">\n"
      "{}</svg>\n",
      size.x(),
      size.y(),
      // An image hides what is in it; links are to be reached.
      body_.find("<a ") == std::string::npos ? "img" : "group",
      escape_html(description),
      body_);
}

}  // namespace evenfeed
