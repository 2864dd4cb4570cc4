// SPDX-License-Identifier: MIT
#include "calibration/plane_camera.h"

#include "stats/singular_values.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Geometry>
#include <Eigen/LU>
#include <Eigen/SVD>

namespace evenfeed {
namespace {

constexpr int kFocalSteps = 25;
constexpr double kShortestFocal = 0.5, kLongestFocal = 3.0;  // picture widths

// Moves the points' centroid to 0 and their mean distance to sqrt(2).
Eigen::Matrix3d normaliser(const std::vector<Eigen::Vector2d>& points) {
  Eigen::Vector2d centroid = Eigen::Vector2d::Zero();
  for (const auto& p : points) centroid += p / points.size();
  double distance = 0;
  for (const auto& p : points)
    distance += (p - centroid).norm() / points.size();
  const double s = distance > 0 ? std::sqrt(2.0) / distance : 1;
  Eigen::Matrix3d m;
  m << s, 0, -s * centroid.x(), 0, s, -s * centroid.y(), 0, 0, 1;
  return m;
}

double plane_rms(const CameraModel& camera,
                 const std::vector<PlanePoint>& points) {
  double sum = 0;
  for (const PlanePoint& p : points) {
    const auto seen =
        camera.project({p.x_in_table_m.x(), p.x_in_table_m.y(), 0});
    if (!seen) return std::numeric_limits<double>::infinity();
    sum += (*seen - p.picture_px).squaredNorm();
  }
  return std::sqrt(sum / points.size());
}

// Then the plane is not determined, whatever noise makes of the picture.
bool all_but_one_on_a_line(const std::vector<PlanePoint>& points) {
  constexpr double kApart_m = 0.01;  // nearer, two points are as good as one
  for (const PlanePoint& a : points) {
    for (const PlanePoint& b : points) {
      const Eigen::Vector2d along = b.x_in_table_m - a.x_in_table_m;
      if (along.norm() < kApart_m) continue;
      const auto on_it =
          std::count_if(points.begin(), points.end(), [&](const auto& p) {
            const Eigen::Vector2d to = p.x_in_table_m - a.x_in_table_m;
            return std::abs(along.x() * to.y() - along.y() * to.x()) <
                   kApart_m * along.norm();
          });
      if (on_it + 1 >= static_cast<std::ptrdiff_t>(points.size())) return true;
    }
  }
  return false;
}

Eigen::Vector3d ray(const LensModel<double>& lens, const Eigen::Vector2d& p) {
  return Eigen::Vector3d((p.x() - lens.centre_u_px) / lens.focal_px,
                         (p.y() - lens.centre_v_px) / lens.focal_px,
                         1)
      .normalized();
}

}  // namespace

std::optional<Eigen::Matrix3d> homography_from_points(
    const std::vector<PlanePoint>& points) {
  if (points.size() < 4) return std::nullopt;
  std::vector<Eigen::Vector2d> from, to;
  for (const PlanePoint& p : points) {
    from.push_back(p.x_in_table_m);
    to.push_back(p.picture_px);
  }
  const Eigen::Matrix3d nf = normaliser(from), nt = normaliser(to);
  Eigen::MatrixXd a =
      Eigen::MatrixXd::Zero(std::max<Eigen::Index>(9, 2 * points.size()), 9);
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Eigen::Vector3d x = nf * from[i].homogeneous();
    const Eigen::Vector3d u = nt * to[i].homogeneous();
    a.row(2 * i) << 0, 0, 0, -x.transpose(), u.y() * x.transpose();
    a.row(2 * i + 1) << x.transpose(), 0, 0, 0, -u.x() * x.transpose();
  }
  const auto [values, right] = singular_values(a);
  if (values[7] < 1e-9 * values[0]) return std::nullopt;
  const Eigen::VectorXd h = right.col(8);
  Eigen::Matrix3d m;
  m << h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7], h[8];
  m = nt.inverse() * m * nf;
  if (!m.allFinite() || std::abs(m.determinant()) < 1e-300) {
    return std::nullopt;
  }
  return m / m.norm();
}

std::optional<Pose> pose_from_homography(const Eigen::Matrix3d& homography,
                                         const LensModel<double>& lens) {
  Eigen::Matrix3d k;
  k << lens.focal_px, 0, lens.centre_u_px, 0, lens.focal_px, lens.centre_v_px,
      0, 0, 1;
  Eigen::Matrix3d m = k.inverse() * homography;
  const double scale = 2 / (m.col(0).norm() + m.col(1).norm());
  m *= m(2, 2) < 0 ? -scale : scale;
  Eigen::Matrix3d rough;
  rough << m.col(0), m.col(1), m.col(0).cross(m.col(1));
  if (!rough.allFinite()) return std::nullopt;
  const Eigen::JacobiSVD<Eigen::Matrix3d> svd(
      rough, Eigen::ComputeFullU | Eigen::ComputeFullV);
  const Eigen::Matrix3d rotation = svd.matrixU() * svd.matrixV().transpose();
  if (rotation.determinant() < 0) return std::nullopt;
  Pose pose;
  pose.rotation = Eigen::Quaterniond(rotation);
  pose.translation_m = m.col(2);
  if (pose.inverse().translation_m.z() <= 0) return std::nullopt;
  return pose;
}

CameraModel plain_camera(int width_px, int height_px, double focal_px) {
  CameraModel camera;
  camera.width_px = width_px;
  camera.height_px = height_px;
  camera.lens.focal_px = focal_px;
  camera.lens.centre_u_px = (width_px - 1) / 2.0;
  camera.lens.centre_v_px = (height_px - 1) / 2.0;
  return camera;
}

std::optional<PlaneCamera> camera_from_plane(
    const std::vector<PlanePoint>& points,
    int width_px,
    int height_px,
    const std::optional<LensModel<double>>& known) {
  if (all_but_one_on_a_line(points)) return std::nullopt;
  const auto homography = homography_from_points(points);
  if (!homography) return std::nullopt;
  std::optional<PlaneCamera> best;
  const int steps = known ? 1 : kFocalSteps;
  for (int i = 0; i < steps; ++i) {
    const double focal =
        width_px * kShortestFocal *
        std::pow(kLongestFocal / kShortestFocal, i / (kFocalSteps - 1.0));
    PlaneCamera candidate;
    candidate.camera = plain_camera(width_px, height_px, focal);
    if (known) candidate.camera.lens = *known;
    const auto pose = pose_from_homography(*homography, candidate.camera.lens);
    if (!pose) continue;
    candidate.camera.camera_from_table = *pose;
    candidate.rms_px = plane_rms(candidate.camera, points);
    if (!best || candidate.rms_px < best->rms_px) best = candidate;
  }
  return best;
}

std::optional<CameraModel> camera_from_end_and_sides(const EndAndSides& seen,
                                                     double sides_x,
                                                     const CameraModel& plain) {
  const LensModel<double>& lens = plain.lens;
  const Eigen::Vector3d a = ray(lens, seen.first.picture_px);
  const Eigen::Vector3d b = ray(lens, seen.second.picture_px);
  const Eigen::Vector3d a2 = ray(lens, seen.first_side_px);
  const Eigen::Vector3d b2 = ray(lens, seen.second_side_px);
  // The sides' direction lies in both planes of sight.
  Eigen::Vector3d sides = a.cross(a2).cross(b.cross(b2));
  if (sides.norm() < 1e-9) return std::nullopt;
  sides.normalize();
  // Of its two senses, the one that leaves the first corner along its side.
  if (sides.dot(a2 - a * a.dot(a2)) < 0) sides = -sides;
  const double along_a = a.dot(sides), along_b = b.dot(sides);
  if (std::abs(along_b) < 1e-4 || along_a / along_b <= 0) return std::nullopt;
  const double ratio = along_a / along_b;
  const Eigen::Vector3d end = ratio * b - a;
  const double length_m =
      (seen.second.x_in_table_m - seen.first.x_in_table_m).norm();
  const double depth_m = length_m / end.norm();
  const double end_y =
      seen.second.x_in_table_m.y() > seen.first.x_in_table_m.y() ? 1 : -1;
  Eigen::Matrix3d rotation;
  rotation.col(0) = sides_x * sides;
  rotation.col(1) = end_y * end.normalized();
  rotation.col(2) = rotation.col(0).cross(rotation.col(1));
  CameraModel camera = plain;
  camera.camera_from_table.rotation = Eigen::Quaterniond(rotation);
  const Eigen::Vector3d corner{
      seen.first.x_in_table_m.x(), seen.first.x_in_table_m.y(), 0};
  camera.camera_from_table.translation_m =
      depth_m * a - camera.camera_from_table.rotation * corner;
  if (camera.eye_in_table_m().z() <= 0.1) return std::nullopt;
  return camera;
}

}  // namespace evenfeed
