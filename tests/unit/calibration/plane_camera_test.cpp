// SPDX-License-Identifier: MIT
// Outside check: OpenCV's own findHomography and solvePnP.
#include "calibration/plane_camera.h"

#include "base/random.h"

#include <random>

#include <Eigen/Geometry>
#include <Eigen/LU>
#include <doctest/doctest.h>
#include <opencv2/calib3d.hpp>

using namespace evenfeed;

namespace {

CameraModel side_camera() {
  CameraModel camera = plain_camera(1280, 720, 1100);
  camera.camera_from_table =
      look_at({-0.4, -2.1, 2.3}, {0.1, 0.05, 0}, {0, 1, 0}, 0.05);
  return camera;
}

std::vector<PlanePoint> seen_by(const CameraModel& camera, double noise_px) {
  auto engine = derived_engine(11, "plane points");
  std::normal_distribution<double> noise(0, noise_px);
  std::vector<PlanePoint> points;
  for (const double x : {-1.37, -0.5, 0.6, 1.37}) {
    for (const double y : {-0.7625, 0.1, 0.7625}) {
      const Eigen::Vector2d p = *camera.project({x, y, 0});
      points.push_back(
          {{x, y}, {p.x() + noise(engine), p.y() + noise(engine)}});
    }
  }
  return points;
}

}  // namespace

TEST_CASE("the homography is OpenCV's") {
  const auto points = seen_by(side_camera(), 0.5);
  std::vector<cv::Point2d> from, to;
  for (const PlanePoint& p : points) {
    from.emplace_back(p.x_in_table_m.x(), p.x_in_table_m.y());
    to.emplace_back(p.picture_px.x(), p.picture_px.y());
  }
  const cv::Mat theirs = cv::findHomography(from, to);
  const auto ours = homography_from_points(points);
  REQUIRE(ours);
  int compared = 0;
  for (const PlanePoint& p : points) {
    const Eigen::Vector3d a = *ours * p.x_in_table_m.homogeneous();
    Eigen::Vector3d b = Eigen::Vector3d::Zero();
    const Eigen::Vector3d x = p.x_in_table_m.homogeneous();
    for (int i = 0; i < 3; ++i) {
      for (int j = 0; j < 3; ++j) b[i] += theirs.at<double>(i, j) * x[j];
    }
    // OpenCV refines the algebraic solution; with 0.5 px of noise the two
    // differ by hundredths of a pixel.
    CHECK((a.hnormalized() - b.hnormalized()).norm() < 0.25);
    ++compared;
  }
  CHECK(compared == 12);
}

TEST_CASE("the pose is solvePnP's, and the truth without noise") {
  const CameraModel camera = side_camera();
  const auto points = seen_by(camera, 0);
  const auto homography = homography_from_points(points);
  REQUIRE(homography);
  const auto pose = pose_from_homography(*homography, camera.lens);
  REQUIRE(pose);
  CHECK((pose->translation_m - camera.camera_from_table.translation_m).norm() <
        1e-9);
  CHECK(pose->rotation.angularDistance(camera.camera_from_table.rotation) <
        1e-7);

  std::vector<cv::Point3d> object;
  std::vector<cv::Point2d> image;
  for (const PlanePoint& p : points) {
    object.emplace_back(p.x_in_table_m.x(), p.x_in_table_m.y(), 0);
    image.emplace_back(p.picture_px.x(), p.picture_px.y());
  }
  const cv::Mat k =
      (cv::Mat_<double>(3, 3) << 1100, 0, 639.5, 0, 1100, 359.5, 0, 0, 1);
  cv::Mat turn, shift;
  REQUIRE(cv::solvePnP(
      object, image, k, cv::noArray(), turn, shift, false, cv::SOLVEPNP_IPPE));
  for (int i = 0; i < 3; ++i) {
    CHECK(pose->translation_m[i] ==
          doctest::Approx(shift.at<double>(i)).epsilon(1e-6));
  }
  const Eigen::AngleAxisd own(pose->rotation);
  const Eigen::Vector3d own_turn = own.angle() * own.axis();
  const Eigen::Vector3d their_turn(
      turn.at<double>(0), turn.at<double>(1), turn.at<double>(2));
  // A turn by pi has two axes; compare the rotations.
  const Eigen::AngleAxisd theirs(their_turn.norm(), their_turn.normalized());
  CHECK(Eigen::Quaterniond(own).angularDistance(Eigen::Quaterniond(theirs)) <
        1e-6);
  CHECK(own_turn.allFinite());
}

TEST_CASE("a mirrored plane and degenerate points are refused") {
  const CameraModel camera = side_camera();
  auto points = seen_by(camera, 0);
  for (PlanePoint& p : points) p.x_in_table_m.y() = -p.x_in_table_m.y();
  const auto mirrored = homography_from_points(points);
  REQUIRE(mirrored);
  CHECK_FALSE(pose_from_homography(*mirrored, camera.lens));

  std::vector<PlanePoint> line;
  for (int i = 0; i < 5; ++i)
    line.push_back({{0.1 * i, 0.2 * i}, {10. * i, 5. * i}});
  CHECK_FALSE(homography_from_points(line));
  line.resize(3);
  CHECK_FALSE(homography_from_points(line));
}

TEST_CASE("the ladder of focal lengths comes near an unknown one") {
  const auto found = camera_from_plane(seen_by(side_camera(), 0), 1280, 720);
  REQUIRE(found);
  CHECK(found->camera.lens.focal_px == doctest::Approx(1100).epsilon(0.05));
}

TEST_CASE("three points of four on a line give no camera, noise or not") {
  const CameraModel camera = side_camera();
  std::vector<PlanePoint> points;
  for (const Eigen::Vector2d& x : std::vector<Eigen::Vector2d>{
           {-1.37, -0.7625}, {-1.37, 0.7625}, {-1.37, 0.001}, {1.37, 0.7625}}) {
    const Eigen::Vector2d off(0.4 * x.y(), 0.7 * x.y() * x.y());
    points.push_back({x, *camera.project({x.x(), x.y(), 0}) + off});
  }
  CHECK_FALSE(camera_from_plane(points, 1280, 720));
  // A line's two corners, a few mm apart, count as one point.
  points[0] = {{1.37, -0.7625}, *camera.project({1.37, -0.7625, 0})};
  points[1] = {{-1.37, -0.001}, *camera.project({-1.37, -0.001, 0})};
  CHECK_FALSE(camera_from_plane(points, 1280, 720));
  points[1] = {{-1.37, 0.7625}, *camera.project({-1.37, 0.7625, 0})};
  CHECK(camera_from_plane(points, 1280, 720));
}

TEST_CASE("one end and two sides give the camera for each focal length") {
  const CameraModel camera = side_camera();
  const auto at = [&](double x, double y) {
    return *camera.project({x, y, 0});
  };
  EndAndSides seen;
  seen.first = {{1.36, 0.75}, at(1.36, 0.75)};
  seen.second = {{1.36, -0.75}, at(1.36, -0.75)};
  seen.first_side_px = at(-0.2, 0.75);
  seen.second_side_px = at(-0.4, -0.75);
  const auto found =
      camera_from_end_and_sides(seen, -1, plain_camera(1280, 720, 1100));
  REQUIRE(found);
  CHECK((found->eye_in_table_m() - camera.eye_in_table_m()).norm() < 1e-6);
  // The other sense of x would put the camera below the table.
  CHECK_FALSE(
      camera_from_end_and_sides(seen, 1, plain_camera(1280, 720, 1100)));
}
