// SPDX-License-Identifier: MIT
#include "simulate/arm.h"

#include "base/random.h"
#include "simulate/strays.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Geometry>

namespace evenfeed {
namespace {

constexpr Rgb kSleeve{0.06, 0.07, 0.10};
constexpr Rgb kSkin{0.42, 0.25, 0.17};

cv::Rect capsule_bounds(const Canvas& canvas,
                        const std::vector<Capsule>& parts) {
  double u0 = 1e6, v0 = 1e6, u1 = -1e6, v1 = -1e6;
  const CameraModel& camera = canvas.scene.camera.model;
  const auto cover = [&](const Eigen::Vector3d& x_m, double reach_m) {
    const auto px = camera.project(x_m);
    if (!px) return;
    const double size = 1.3 * reach_m * camera.lens.focal_px /
                        (camera.camera_from_table * x_m).norm();
    u0 = std::min(u0, px->x() - size);
    u1 = std::max(u1, px->x() + size);
    v0 = std::min(v0, px->y() - size);
    v1 = std::max(v1, px->y() + size);
  };
  for (const Capsule& part : parts) {
    for (const Eigen::Vector3d& end : {part.a_m, part.b_m}) {
      cover(end, part.radius_m);
      const Eigen::Vector3d& lamp = canvas.hall.light().lamp_m();
      const double stretch = lamp.z() / (lamp.z() - end.z());
      cover(lamp + stretch * (end - lamp), 3 * part.radius_m);
    }
  }
  if (u1 < u0) return {};
  const auto clip = [](double x) { return std::clamp(x, -1e5, 1e5); };
  return cv::Rect(cv::Point(cvFloor(clip(u0)), cvFloor(clip(v0))),
                  cv::Point(cvCeil(clip(u1)), cvCeil(clip(v1)))) &
         cv::Rect(0, 0, canvas.light.cols, canvas.light.rows);
}

// Part of the lamp that the arm leaves to a point of the table.
double shade(const std::vector<Capsule>& parts,
             const Light& light,
             const Eigen::Vector3d& x_m) {
  const Ray to_lamp{x_m, light.to_lamp(x_m)};
  double keeps = 1;
  for (const Capsule& part : parts) {
    const Approach near = approach(part, to_lamp);
    const double soft =
        std::max(0.01, light.lamp_radius_m() * near.t_m / light.lamp_m().z());
    const double t = std::clamp(
        (near.distance_m - part.radius_m + soft) / (2 * soft), 0.0, 1.0);
    keeps = std::min(keeps, t);
  }
  return keeps;
}

struct ArmPixel {
  double cover = 0;
  double depth_m = 1e30;
  Eigen::Vector3d light = Eigen::Vector3d::Zero();
};

ArmPixel look_at_arm(const std::vector<Capsule>& parts,
                     const Light& light,
                     const Ray& ray,
                     double focal_px) {
  ArmPixel pixel;
  for (const Capsule& part : parts) {
    const Approach near = approach(part, ray);
    const double edge_px =
        (part.radius_m - near.distance_m) / near.t_m * focal_px;
    const double cover = std::clamp(0.5 + edge_px, 0.0, 1.0);
    if (near.t_m <= 0 || cover <= 0) continue;
    const auto hit = meet(part, ray);
    const Eigen::Vector3d normal =
        hit ? hit->normal : Eigen::Vector3d(-ray.direction);
    const double depth = hit ? hit->t_m : near.t_m;
    if (cover < pixel.cover || depth > pixel.depth_m) continue;
    pixel.cover = cover;
    pixel.depth_m = depth;
    const Eigen::Vector3d at = ray.origin_m + depth * ray.direction;
    pixel.light =
        Eigen::Vector3d(part.colour[0], part.colour[1], part.colour[2]) *
        light.on_face(at, normal);
  }
  return pixel;
}

void draw_pixel(Canvas& canvas,
                const std::vector<Capsule>& parts,
                const Ray& ray,
                int u,
                int v) {
  const Light& light = canvas.hall.light();
  cv::Vec3f& out = canvas.light(v, u);
  const float table = canvas.backdrop.on_table(v, u);
  if (table > 0 && ray.direction.z() < 0) {
    const Eigen::Vector3d at =
        ray.origin_m - ray.origin_m.z() / ray.direction.z() * ray.direction;
    const double lost = (1 - light.ambient()) * (1 - shade(parts, light, at));
    out *= static_cast<float>(1 - table * lost);
  }
  const ArmPixel arm =
      look_at_arm(parts, light, ray, canvas.scene.camera.model.lens.focal_px);
  if (arm.cover <= 0 || arm.depth_m > canvas.backdrop.depth_m(v, u)) return;
  const double lens = vignetting(canvas.scene, u, v);
  for (int i = 0; i < 3; ++i) {
    out[i] = static_cast<float>((1 - arm.cover) * out[i] +
                                arm.cover * arm.light[i] * lens);
  }
  canvas.arm_cover(v, u) = static_cast<float>(arm.cover);
  canvas.arm_depth_m(v, u) = static_cast<float>(arm.depth_m);
}

}  // namespace

std::vector<Capsule> ArmVisit::parts(double t_s) const {
  const double in = std::clamp((t_s - start_s) / kReach_s, 0.0, 1.0);
  const double out =
      std::clamp((t_s - start_s - kReach_s - kStay_s) / kReach_s, 0.0, 1.0);
  const auto ease = [](double x) { return x * x * (3 - 2 * x); };
  const double reach = ease(in) * (1 - ease(out));
  // Out of the picture the whole arm is drawn back behind the shoulder.
  const Eigen::Vector3d back = shoulder_m - target_m;
  const Eigen::Vector3d hand = target_m + (1 - reach) * 1.1 * back;
  const Eigen::Vector3d along = back.normalized();
  const Eigen::Vector3d wrist = hand + 0.10 * along;
  const Eigen::Vector3d elbow = wrist + 0.26 * along;
  const Eigen::Vector3d upper =
      elbow + 0.5 * along + Eigen::Vector3d(0, 0, 0.15);
  return {{hand, wrist, 0.042, kSkin},
          {wrist, elbow, 0.038, kSkin},
          {elbow, upper, 0.062, kSleeve}};
}

std::vector<ArmVisit> arm_visits(const Scene& scene, std::uint64_t seed) {
  std::vector<ArmVisit> visits;
  const int count = scene.nuisance.arm_visits;
  const double duration_s = film_duration_s(scene);
  for (int i = 0; i < count; ++i) {
    RandomEngine engine =
        derived_engine(seed, "arm", static_cast<std::uint64_t>(i));
    std::uniform_real_distribution<double> part(0.1, 0.9);
    ArmVisit visit;
    visit.start_s = (i + part(engine)) * duration_s / count;
    const double side = part(engine) < 0.5 ? -1 : 1;
    const Eigen::Vector3d& exit = scene.launcher.exit_m;
    // To the launcher's mouth, or over the near half of the table.
    visit.target_m =
        i % 2 == 0 ? Eigen::Vector3d(exit.x() - 0.05, exit.y(), exit.z() + 0.12)
                   : Eigen::Vector3d(
                         -0.5 * scene.surface.length_m / 2, 0.25 * side, 0.07);
    visit.shoulder_m =
        visit.target_m + Eigen::Vector3d(-0.15, side * 1.15, 0.35);
    visits.push_back(visit);
  }
  return visits;
}

cv::Rect draw_arm(Canvas& canvas, const ArmVisit& visit, double t_frame_s) {
  const CameraModel& camera = canvas.scene.camera.model;
  const double t_s = camera.mid_exposure_s(t_frame_s, camera.height_px / 2.0);
  if (!visit.active(t_s)) return {};
  const std::vector<Capsule> parts = visit.parts(t_s);
  const cv::Rect rect = capsule_bounds(canvas, parts);
  if (rect.empty()) return {};
  if (canvas.arm_cover.empty()) {
    canvas.arm_cover = cv::Mat1f::zeros(canvas.light.size());
    canvas.arm_depth_m.create(canvas.light.size());
    canvas.arm_depth_m = 1e30f;
  }
  const Eigen::Matrix3d table_from_camera =
      camera.camera_from_table.rotation.conjugate().toRotationMatrix();
  const Eigen::Vector3d eye = camera.eye_in_table_m();
  for (int v = rect.y; v < rect.br().y; ++v) {
    for (int u = rect.x; u < rect.br().x; ++u) {
      const cv::Vec2f& xy = canvas.backdrop.sight(v, u);
      const Ray ray{
          eye,
          (table_from_camera * Eigen::Vector3d(xy[0], xy[1], 1)).normalized()};
      draw_pixel(canvas, parts, ray, u, v);
    }
  }
  return rect;
}

}  // namespace evenfeed
