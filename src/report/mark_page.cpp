// SPDX-License-Identifier: MIT
#include "report/mark_page.h"

#include "base/units.h"
#include "report/assets.h"
#include "report/html.h"
#include "report/page_frame.h"
#include "report/svg_canvas.h"

#include <algorithm>
#include <array>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace evenfeed {
namespace {

using nlohmann::json;

constexpr double kSamePlace_m = 1e-6;
constexpr double kPlanWidth_px = 1000;

bool same_place(const Landmark& a, const Landmark& b) {
  return (a.x_in_table_m - b.x_in_table_m).norm() < kSamePlace_m;
}

// The name that the page calls a landmark by.
std::string name_on_page(const std::string& name, const Surface& surface) {
  for (const Landmark& one : surface.landmarks()) {
    if (one.name != name) continue;
    for (const Landmark& point : points_to_mark(surface)) {
      if (same_place(point, one)) return point.name;
    }
  }
  return name;
}

// Points that nearly every picture shows; the others are the inner corners of
// lines and the like.
bool is_main(const Landmark& point) {
  return point.name.rfind("corner_", 0) == 0 ||
         point.name.rfind("net_", 0) == 0;
}

std::string in_words(std::string name) {
  std::replace(name.begin(), name.end(), '_', ' ');
  return name;
}

json array_of(const Eigen::Vector3d& x) { return {x.x(), x.y(), x.z()}; }
json array_of(const Eigen::Vector2d& x) { return {x.x(), x.y()}; }

void add_rectangle(const Eigen::Vector2d& low,
                   const Eigen::Vector2d& high,
                   json& edges) {
  const std::array<Eigen::Vector3d, 4> corners{
      Eigen::Vector3d(low.x(), low.y(), 0),
      Eigen::Vector3d(high.x(), low.y(), 0),
      Eigen::Vector3d(high.x(), high.y(), 0),
      Eigen::Vector3d(low.x(), high.y(), 0)};
  for (std::size_t i = 0; i < 4; ++i) {
    edges.push_back({array_of(corners[i]), array_of(corners[(i + 1) % 4])});
  }
}

// What is drawn over the picture: from, to in m.
json edges_of(const Surface& surface) {
  json edges = json::array();
  const Eigen::Vector2d half{surface.length_m / 2, surface.width_m / 2};
  add_rectangle(-half, half, edges);
  for (const PaintedLine& line : surface.lines) {
    add_rectangle(line.low_m, line.high_m, edges);
  }
  if (!surface.net.present) return edges;
  const Net& net = surface.net;
  const Eigen::Vector3d left{net.x_m, net.half_width_m, 0};
  const Eigen::Vector3d right{net.x_m, -net.half_width_m, 0};
  const Eigen::Vector3d up{0, 0, net.height_m};
  edges.push_back({array_of(left), array_of(right)});
  edges.push_back({array_of(Eigen::Vector3d(left + up)),
                   array_of(Eigen::Vector3d(right + up))});
  edges.push_back({array_of(left), array_of(Eigen::Vector3d(left + up))});
  edges.push_back({array_of(right), array_of(Eigen::Vector3d(right + up))});
  return edges;
}

json data_of(const MarkPageInput& input) {
  json data;
  data["width"] = input.width_px;
  data["height"] = input.height_px;
  data["turn"] = input.rotation_deg;
  data["off_px"] = input.off_px;
  data["file"] = input.marks_file;
  data["edges"] = edges_of(input.surface);
  data["lens"] = nullptr;
  if (input.lens) {
    data["lens"] = {
        {"focal", input.lens->focal_px},
        {"k1", input.lens->k1},
        {"k2", input.lens->k2},
        {"centre", {input.lens->centre_u_px, input.lens->centre_v_px}}};
  }
  data["points"] = json::array();
  for (const Landmark& point : points_to_mark(input.surface)) {
    data["points"].push_back({{"name", point.name},
                              {"at", array_of(point.x_in_table_m)},
                              {"main", is_main(point)}});
  }
  data["marks"] = json::array();
  for (const auto& [name, picture_px] : input.marks) {
    data["marks"].push_back({{"name", name_on_page(name, input.surface)},
                             {"picture", array_of(picture_px)}});
  }
  return data;
}

// Where the points lie: the surface from above, the launcher to the left. The
// script finds the spots by their order, which is the points'.
std::string plan_of(const Surface& surface) {
  const Eigen::Vector2d half =
      plan_mm({surface.length_m / 2, surface.width_m / 2});
  View view{-half, half};
  const double beside_mm = 0.09 * half.x();
  for (const Landmark& point : points_to_mark(surface)) {
    view.include(plan_mm(point.x_in_table_m.head<2>()), beside_mm);
  }
  view.include({-half.x(), 0}, 0.25 * half.x());
  SvgCanvas canvas(view, kPlanWidth_px);
  canvas.rectangle(-half, half, "surface");
  for (const PaintedLine& line : surface.lines) {
    canvas.rectangle(plan_mm(line.low_m), plan_mm(line.high_m), "painted");
  }
  if (surface.net.present) {
    const Net& net = surface.net;
    canvas.line(plan_mm({net.x_m, -net.half_width_m}),
                plan_mm({net.x_m, net.half_width_m}),
                "net");
  }
  canvas.label({-1.13 * half.x(), 0}, "launcher", "note turned");
  for (const Landmark& point : points_to_mark(surface)) {
    canvas.mark(Mark::kCircle,
                plan_mm(point.x_in_table_m.head<2>()),
                is_main(point) ? 24 : 16,
                is_main(point) ? "spot" : "spot more",
                in_words(point.name));
  }
  return canvas.finish(
      "The surface from above with the launcher to the left: near is the "
      "launcher's end, left is left when looking from the launcher");
}

std::string button_of(const Landmark& point) {
  return fmt::format(
      "<li><button type=\"button\" data-point=\"{}\">{} "
      "<span class=\"state\">not marked</span></button></li>\n",
      escape_html(point.name),
      escape_html(in_words(point.name)));
}

std::string lists_of(const Surface& surface) {
  std::string main, more;
  for (const Landmark& point : points_to_mark(surface)) {
    (is_main(point) ? main : more) += button_of(point);
  }
  std::string out = "<ol class=\"points\">\n" + main + "</ol>\n";
  if (!more.empty()) {
    out +=
        "<details><summary>Corners of the painted lines</summary>\n"
        "<ol class=\"points\">\n" +
        more + "</ol></details>\n";
  }
  return out;
}

constexpr char kHowTo[] =
    "<p class=\"how\">Choose a point, click it in the picture, then bring it "
    "under the cross of the loupe: drag there, or use the arrow keys (half a "
    "pixel; with Shift far; Enter: next; Delete: remove; + and -: loupe). Four "
    "points on the surface are the least, not three of them on one line; where "
    "only the receiving half is in view, take its corners and the net's feet. "
    "Lines belong to the surface: its corners are the lines' outer ones.</p>\n"
    "<noscript><p>This page needs its scripts, which are all inside "
    "it.</p></noscript>\n";

std::string picture_part(const MarkPageInput& input) {
  const bool sideways = input.rotation_deg % 180 != 0;
  return fmt::format(
      "<div class=\"picture\">\n<p class=\"chosen\">Marking <b "
      "id=\"current\"></b> <span id=\"at\"></span></p>\n<div id=\"stage\" "
      "tabindex=\"0\" "
      "role=\"application\" aria-label=\"The film's still: arrow keys move the "
      "chosen point\"><img id=\"still\" alt=\"\" width=\"{}\" height=\"{}\" "
      "src=\"data:image/jpeg;base64,{}\"><canvas id=\"drawn\"></canvas></div>\n"
      "<p id=\"verdict\" aria-live=\"polite\"></p>\n</div>\n",
      sideways ? input.height_px : input.width_px,
      sideways ? input.width_px : input.height_px,
      base64(input.picture_jpeg));
}

constexpr char kTools[] =
    "<div class=\"tools\">\n<div class=\"fine\"><canvas id=\"loupe\" "
    "tabindex=\"0\" role=\"application\" aria-label=\"Loupe: arrow keys move "
    "the chosen point\"></canvas>\n"
    "<div class=\"keys\">"
    "<button type=\"button\" data-move=\"ArrowUp\" aria-label=\"up\">&#8593;"
    "</button><button type=\"button\" data-move=\"ArrowLeft\" "
    "aria-label=\"left\">&#8592;</button><button type=\"button\" "
    "data-move=\"ArrowRight\" aria-label=\"right\">&#8594;</button>"
    "<button type=\"button\" data-move=\"ArrowDown\" aria-label=\"down\">"
    "&#8595;</button><button type=\"button\" id=\"nearer\" "
    "aria-label=\"nearer\">+</button><button type=\"button\" id=\"wider\" "
    "aria-label=\"wider\">&#8722;</button></div></div>\n"
    "<p class=\"does\"><button type=\"button\" id=\"next\">Next point</button> "
    "<button type=\"button\" id=\"remove\">Remove the mark</button></p>\n";

std::string saving_part(const MarkPageInput& input) {
  return fmt::format(
      "<section><h2>Then</h2>\n<p>Save the marks, and go on with them:</p>\n"
      "<p class=\"does\"><button type=\"button\" id=\"save\" disabled>Save "
      "{}</button> <button type=\"button\" id=\"copy-file\" disabled>Copy its "
      "text</button> <button type=\"button\" id=\"copy-command\">Copy the "
      "command</button> <span id=\"done\" aria-live=\"polite\"></span></p>\n"
      "<pre id=\"command\">{}</pre>\n"
      "<label for=\"file\">What {} holds: pixels of the film's stored picture, "
      "centres at whole numbers</label>\n"
      "<textarea id=\"file\" readonly rows=\"6\" spellcheck=\"false\">"
      "</textarea>\n</section>\n",
      escape_html(input.marks_file),
      escape_html(input.command),
      escape_html(input.marks_file));
}

}  // namespace

std::vector<Landmark> points_to_mark(const Surface& surface) {
  std::vector<Landmark> points;
  for (const Landmark& one : surface.landmarks()) {
    const bool known =
        std::any_of(points.begin(), points.end(), [&](const Landmark& other) {
          return same_place(other, one);
        });
    if (!known) points.push_back(one);
  }
  return points;
}

std::string mark_page(const MarkPageInput& input) {
  return page_head("Marks: " + input.film,
                   "Points of the surface in " + input.film,
                   mark_style()) +
         kHowTo + "<div class=\"marking\">\n" + picture_part(input) + kTools +
         "<div id=\"plan\">" + plan_of(input.surface) + "</div>\n" +
         lists_of(input.surface) + "</div>\n</div>\n" + saving_part(input) +
         "<script type=\"application/json\" id=\"mark-data\">" +
         script_safe(data_of(input).dump()) + "</script>\n" +
         page_foot(
             {mark_solver_script(), mark_drawing_script(), mark_page_script()});
}

}  // namespace evenfeed
