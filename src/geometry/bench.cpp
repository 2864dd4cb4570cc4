// SPDX-License-Identifier: MIT
#include "geometry/bench.h"

#include "base/atomic_file.h"
#include "base/check.h"
#include "base/toml_file.h"
#include "base/units.h"
#include "base/version.h"

namespace evenfeed {
namespace {

Pose load_pose(const TomlTable& table) {
  const auto q = table.numbers("rotation_wxyz", 4);
  const auto t = table.numbers("translation_mm", 3);
  Pose pose;
  pose.rotation = Eigen::Quaterniond(q[0], q[1], q[2], q[3]);
  if (std::abs(pose.rotation.norm() - 1) > 1e-3) {
    table.refuse("rotation_wxyz",
                 "not a unit quaternion",
                 "Calibrate again instead of editing this by hand");
  }
  pose.rotation.normalize();
  pose.translation_m = {m_from_mm(t[0]), m_from_mm(t[1]), m_from_mm(t[2])};
  return pose;
}

}  // namespace

void Bench::check() const {
  camera.check();
  require_not_negative(residual_px, "residual_px");
  require_not_negative(residual_mm, "residual_mm");
  // Farther than any camera stands, and variances to match.
  constexpr double kFarthest_m = 1000;
  const Eigen::Vector3d& place_m = camera.camera_from_table.translation_m;
  require_in_range(
      place_m.cwiseAbs().maxCoeff(), 0, kFarthest_m, "translation, m");
  for (int i = 0; i < kCameraParameters; ++i) {
    require_in_range(covariance(i, i), 0, 1e12, "covariance's diagonal");
  }
}

CameraModel moved_camera(
    const CameraModel& camera,
    const Eigen::Matrix<double, kCameraParameters, 1>& delta) {
  CameraModel moved = camera;
  moved.lens.focal_px += delta[0];
  moved.lens.k1 += delta[1];
  moved.lens.k2 += delta[2];
  moved.camera_from_table.rotation =
      turned_by(delta.segment<3>(3)) * camera.camera_from_table.rotation;
  moved.camera_from_table.translation_m += delta.segment<3>(6);
  return moved;
}

Bench parse_bench(std::string_view toml_text, const std::string& name) {
  const TomlTable root = TomlTable::parse(toml_text, name);
  Bench bench;
  const TomlTable camera = root.table("camera");
  bench.camera.width_px = camera.integer("width_px");
  bench.camera.height_px = camera.integer("height_px");
  bench.camera.lens.focal_px = camera.number("focal_px");
  const auto centre = camera.numbers("centre_px", 2);
  bench.camera.lens.centre_u_px = centre[0];
  bench.camera.lens.centre_v_px = centre[1];
  bench.camera.lens.k1 = camera.number("k1");
  bench.camera.lens.k2 = camera.number("k2");
  if (camera.has("exposure_ms")) {
    bench.camera.exposure_s = s_from_ms(camera.number("exposure_ms"));
  }
  if (camera.has("readout_ms")) {
    bench.camera.readout_s = s_from_ms(camera.number("readout_ms"));
  }
  bench.camera.camera_from_table = load_pose(root.table("pose"));
  const TomlTable fit = root.table("calibration");
  bench.surface_name = fit.text("surface");
  bench.residual_px = fit.number("residual_px");
  bench.residual_mm = fit.number("residual_mm");
  bench.landmarks = fit.integer("landmarks");
  bench.half_table = fit.flag("half_table", false);
  constexpr int n = kCameraParameters;
  const auto cells = fit.numbers("covariance", n * n);
  for (int i = 0; i < n * n; ++i) bench.covariance(i / n, i % n) = cells[i];
  root.refuse_unknown();
  check_loaded(root, bench);
  return bench;
}

Bench load_bench(const std::filesystem::path& path) {
  return parse_bench(read_file(path), path.string());
}

std::string bench_text(const Bench& bench) {
  const CameraModel& camera = bench.camera;
  TomlWriter out;
  out.comment(
      "A calibrated bench: one camera over one table. Written by evenfeed " +
      std::string(program_version()) + ".");
  out.section("camera");
  out.integer("width_px", camera.width_px);
  out.integer("height_px", camera.height_px);
  out.number("focal_px", camera.lens.focal_px);
  out.numbers("centre_px",
              {camera.lens.centre_u_px, camera.lens.centre_v_px},
              "pixel centres at integers");
  out.number("k1", camera.lens.k1, "radial distortion, 1 + k1 r2 + k2 r4");
  out.number("k2", camera.lens.k2);
  if (camera.exposure_s) {
    out.number("exposure_ms",
               ms_from_s(*camera.exposure_s),
               "shutter open time; no such line = not known");
  }
  if (camera.readout_s) {
    out.number("readout_ms",
               ms_from_s(*camera.readout_s),
               "first row's start to last row's; 0 = all rows at once, no such "
               "line = not known");
  }
  out.section("pose");
  const Eigen::Quaterniond& q = camera.camera_from_table.rotation;
  const Eigen::Vector3d& t = camera.camera_from_table.translation_m;
  out.numbers(
      "rotation_wxyz", {q.w(), q.x(), q.y(), q.z()}, "camera from table");
  out.numbers("translation_mm",
              {mm_from_m(t.x()), mm_from_m(t.y()), mm_from_m(t.z())});
  out.section("calibration");
  out.text("surface", bench.surface_name);
  out.integer("landmarks", bench.landmarks);
  out.number("residual_px", bench.residual_px, "rms");
  out.number("residual_mm", bench.residual_mm, "rms at the table");
  if (bench.half_table) out.flag("half_table", true);
  std::vector<double> cells;
  for (int i = 0; i < kCameraParameters * kCameraParameters; ++i) {
    cells.push_back(
        bench.covariance(i / kCameraParameters, i % kCameraParameters));
  }
  out.numbers("covariance",
              cells,
              "rows of focal_px, k1, k2, turn xyz (rad), translation xyz (m)");
  return out.str();
}

}  // namespace evenfeed
