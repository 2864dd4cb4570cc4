// SPDX-License-Identifier: MIT
#include "calibration/table_ends.h"

#include <cmath>

namespace evenfeed {
namespace {

constexpr char kSayWhichEnd[] =
    "Say where the launcher stands in the picture: --launcher-end left, "
    "right, top or bottom";

// Direction of the shown picture in which `end` lies.
Eigen::Vector2d direction_of(LauncherEnd end) {
  switch (end) {
    case LauncherEnd::kLeft:
      return {-1, 0};
    case LauncherEnd::kRight:
      return {1, 0};
    case LauncherEnd::kTop:
      return {0, -1};
    case LauncherEnd::kBottom:
      return {0, 1};
    case LauncherEnd::kNotSaid:
      break;
  }
  return Eigen::Vector2d::Zero();
}

// The picture direction from the launcher's end to the receiving end, stored.
Eigen::Vector2d along_table(const CameraModel& camera, const Surface& surface) {
  const double x = surface.length_m / 4;
  const auto near = camera.project({-x, 0, 0});
  const auto far = camera.project({x, 0, 0});
  if (near && far) return (*far - *near).normalized();
  const auto middle = camera.project({0, 0, 0});
  return near ? Eigen::Vector2d(*middle - *near).normalized()
              : Eigen::Vector2d(*far - *middle).normalized();
}

// A part of the line, too thin perhaps to be looked at.
bool in_picture(const CameraModel& camera, const SurfaceLine& line) {
  constexpr int kPlaces = 9, kEnough = 3;
  int inside = 0;
  for (int i = 0; i < kPlaces; ++i) {
    const auto at = camera.project(line.middle_m((i + 0.5) / kPlaces));
    inside += at && camera.in_picture(*at);
  }
  return inside >= kEnough;
}

bool end_in_view(const RefinedCamera& fit,
                 const std::vector<SurfaceLine>& lines,
                 double sign) {
  for (std::size_t i = 0; i < lines.size() && i < fit.support.size(); ++i) {
    if (lines[i].net || lines[i].along_x || !lines[i].on_border) continue;
    if (sign * lines[i].middle_m(0.5).x() <= 0) continue;
    if (fit.support[i].looked > 0 ||
        in_picture(fit.solution.camera, lines[i])) {
      return true;
    }
  }
  return false;
}

}  // namespace

Eigen::Vector2d as_shown(const Eigen::Vector2d& stored, int rotation_deg) {
  switch (((rotation_deg % 360) + 360) % 360) {
    case 90:
      return {-stored.y(), stored.x()};
    case 180:
      return -stored;
    case 270:
      return {stored.y(), -stored.x()};
    default:
      return stored;
  }
}

CameraModel half_turn(const CameraModel& camera) {
  CameraModel turned = camera;
  turned.camera_from_table.rotation =
      camera.camera_from_table.rotation *
      Eigen::Quaterniond(0, 0, 0, 1);  // 180 degrees about z
  return turned;
}

bool far_end_in_view(const RefinedCamera& fit,
                     const std::vector<SurfaceLine>& lines) {
  return end_in_view(fit, lines, 1);
}

bool only_one_half(const RefinedCamera& fit,
                   const std::vector<SurfaceLine>& lines) {
  return end_in_view(fit, lines, 1) != end_in_view(fit, lines, -1);
}

EndDecision choose_end(const CameraModel& camera,
                       const Surface& surface,
                       const EndChoice& choice) {
  EndDecision decision;
  const bool symmetric = is_half_turn_symmetric(surface);
  if (choice.half && symmetric) decision.turn = !choice.visible_end_is_far;
  const CameraModel now = decision.turn ? half_turn(camera) : camera;
  const Eigen::Vector2d flight =
      as_shown(along_table(now, surface), choice.rotation_deg);
  std::optional<double> agrees;  // > 0: the ends are named right
  if (choice.said != LauncherEnd::kNotSaid) {
    agrees = -flight.dot(direction_of(choice.said));
    if (std::abs(*agrees) < 0.4) {
      decision.message =
          "the table does not run that way in the picture: its ends lie " +
          std::string(std::abs(flight.x()) > std::abs(flight.y())
                          ? "left and right"
                          : "top and bottom") +
          ". Change --launcher-end";
      return decision;
    }
  } else {
    agrees = choice.flight_along_x;
  }
  if (choice.half) {
    if (choice.said != LauncherEnd::kNotSaid && agrees && *agrees < 0) {
      decision.wrong_half = true;
      decision.message =
          "only the launcher's half of the table is in view, and the bounce "
          "on the receiving half cannot be measured. Turn the camera to the "
          "receiving half, or change --launcher-end";
    }
    return decision;
  }
  if (!symmetric) return decision;
  if (!agrees) {
    decision.message =
        "the two ends of the table look alike. " + std::string(kSayWhichEnd);
    return decision;
  }
  if (*agrees < 0) decision.turn = !decision.turn;
  return decision;
}

}  // namespace evenfeed
