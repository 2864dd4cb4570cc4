// SPDX-License-Identifier: MIT
// Pictures of a table through cameras that are known, drawn by a painter that
// is neither the simulator's nor the program's.
#include "calibration/camera_watch.h"

#include "geometry/bench.h"
#include "geometry/steady_view.h"
#include "unit/calibration/small_view.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

CameraModel calibrated() {
  return small_camera(470, {0.3, -1.3, 2.2}, {0.05, 0.02, 0});
}

CameraModel moved(const CameraModel& camera,
                  const Eigen::Vector3d& turn_rad,
                  const Eigen::Vector3d& shift_m) {
  Eigen::Matrix<double, kCameraParameters, 1> delta;
  delta << 0, 0, 0, turn_rad, shift_m;
  return moved_camera(camera, delta);
}

// Turned by about a pixel and a half, and by about a dozen.
CameraModel knocked() {
  return moved(calibrated(), {0.0015, -0.002, 0.001}, {0.001, 0.002, -0.001});
}
CameraModel kicked() {
  return moved(calibrated(), {0.02, -0.015, 0.006}, {0.004, 0, 0});
}

// Drawn once, then with fresh noise: drawing is what takes the time.
class Painter {
 public:
  cv::Mat operator()(const CameraModel& camera, std::uint64_t seed) {
    const Eigen::Vector3d key = camera.camera_from_table.translation_m +
                                camera.camera_from_table.rotation.vec();
    for (const auto& [known, picture] : drawn_) {
      if ((known - key).norm() < 1e-12) return with_noise(picture, seed);
    }
    DrawnTable look;
    look.noise = 0;
    drawn_.emplace_back(key,
                        draw_table(camera, table_tennis_surface(), look, 1));
    return with_noise(drawn_.back().second, seed);
  }

 private:
  static cv::Mat with_noise(const cv::Mat& picture, std::uint64_t seed) {
    auto engine = derived_engine(seed, "film noise");
    std::normal_distribution<double> noise(0, 2.0);
    cv::Mat noisy = picture.clone();
    for (int v = 0; v < noisy.rows; ++v) {
      for (int u = 0; u < noisy.cols; ++u) {
        uchar& value = noisy.at<uchar>(v, u);
        value = cv::saturate_cast<uchar>(value + noise(engine));
      }
    }
    return noisy;
  }
  std::vector<std::pair<Eigen::Vector3d, cv::Mat>> drawn_;
};

cv::Mat painted(const CameraModel& camera, std::uint64_t seed) {
  static Painter painter;
  return painter(camera, seed);
}

std::vector<Eigen::Vector3d> corners() {
  return {{-1.3, -0.7, 0}, {1.3, -0.7, 0}, {1.3, 0.7, 0}, {-1.3, 0.7, 0}};
}

double apart_mm(const CameraModel& a, const CameraModel& b) {
  return 1e3 * shift_at_table_m(a, b, corners());
}

// A film of one picture per look; the camera of each is camera_at(look).
template <typename CameraAt>
std::vector<CameraStance> watched_moves(CameraWatch& watch,
                                        int looks,
                                        const CameraAt& camera_at) {
  for (int i = 0; i < looks; ++i) {
    watch.add_frame(painted(camera_at(i), static_cast<std::uint64_t>(i)),
                    0.5 * i);
  }
  watch.finish();
  return watch.take_news().stances;
}

}  // namespace

TEST_CASE("sites find a moved camera to within what they state") {
  LineSites sites(table_tennis_surface(), {});
  REQUIRE(sites.choose(painted(calibrated(), 1), calibrated()));
  sites.set_zero(sites.offsets_px(painted(calibrated(), 2), calibrated()));
  int found = 0;
  double sum_squares = 0;
  for (std::uint64_t seed = 10; seed < 40; ++seed) {
    const auto camera = sites.find(painted(knocked(), seed), calibrated());
    REQUIRE(camera);
    ++found;
    const double error_mm = apart_mm(camera->camera, knocked());
    CHECK(error_mm < 1);
    CHECK(camera->sigma_m > 0);
    CHECK(camera->sigma_m < 0.5e-3);
    const double z = 1e-3 * error_mm / camera->sigma_m;
    sum_squares += z * z;
  }
  CHECK(found == 30);
  // Sigma is of the picture of the sites, rms; the corners are the worst of it.
  CHECK(std::sqrt(sum_squares / found) < 2);
  CHECK(std::sqrt(sum_squares / found) > 0.3);
}

TEST_CASE("sites say so when the lines are hidden or too few are seen") {
  LineSites sites(table_tennis_surface(), {});
  REQUIRE(sites.choose(painted(calibrated(), 1), calibrated()));
  cv::Mat hidden = painted(calibrated(), 3);
  hidden(cv::Rect(200, 0, 440, 360)) = 90;
  CHECK_FALSE(sites.find(hidden, calibrated()));
  CHECK_FALSE(
      LineSites(table_tennis_surface(), {})
          .choose(cv::Mat(360, 640, CV_8U, cv::Scalar(90)), calibrated()));
}

TEST_CASE("a camera that stands still is left exactly where it was") {
  CameraWatch watch(calibrated(), table_tennis_surface(), {});
  const auto stances =
      watched_moves(watch, 60, [](int) { return calibrated(); });
  CHECK(watch.watching());
  CHECK(stances.empty());
  CHECK(watch.lost_at_s().empty());
}

TEST_CASE("a knock is dated to its half second and placed") {
  CameraWatch watch(calibrated(), table_tennis_surface(), {});
  const auto stances = watched_moves(
      watch, 24, [](int i) { return i < 11 ? calibrated() : knocked(); });
  REQUIRE(stances.size() == 1);
  CHECK(stances[0].from_s > 5.0);
  CHECK(stances[0].from_s <= 5.5);
  CHECK(apart_mm(stances[0].camera, knocked()) < 0.6);
  CHECK(1e3 * stances[0].moved_m ==
        doctest::Approx(apart_mm(calibrated(), knocked())).epsilon(0.2));
  REQUIRE(apart_mm(calibrated(), knocked()) > 3);
}

TEST_CASE("a kick farther than a cut reaches is found by a search") {
  CameraWatch watch(calibrated(), table_tennis_surface(), {});
  const auto stances = watched_moves(
      watch, 24, [](int i) { return i < 11 ? calibrated() : kicked(); });
  REQUIRE(stances.size() == 1);
  CHECK(stances[0].from_s > 5.0);
  CHECK(stances[0].from_s <= 6.5);
  CHECK(apart_mm(stances[0].camera, kicked()) < 0.6);
  REQUIRE(apart_mm(calibrated(), kicked()) > 20);
}

TEST_CASE("two knocks and the way back are three moves") {
  CameraWatch watch(calibrated(), table_tennis_surface(), {});
  const auto stances = watched_moves(watch, 40, [](int i) {
    return i < 10 || i >= 30 ? calibrated() : i < 20 ? knocked() : kicked();
  });
  REQUIRE(stances.size() == 3);
  CHECK(apart_mm(stances[0].camera, knocked()) < 0.6);
  CHECK(apart_mm(stances[1].camera, kicked()) < 0.6);
  CHECK(apart_mm(stances[2].camera, calibrated()) < 0.6);
}

TEST_CASE("what hides the lines for a while is no move, and is counted") {
  CameraWatch watch(calibrated(), table_tennis_surface(), {});
  for (int i = 0; i < 40; ++i) {
    cv::Mat picture = painted(calibrated(), static_cast<std::uint64_t>(i));
    if (i == 12 || (i >= 20 && i < 30)) {
      picture(cv::Rect(150, 0, 490, 360)) = 90;
    }
    watch.add_frame(picture, 0.5 * i);
  }
  watch.finish();
  CHECK(watch.take_news().stances.empty());
  CHECK(watch.lost_at_s().size() >= 4);
  CHECK(watch.lost_at_s().size() <= 10);
}

TEST_CASE("a camera that was moved since it was calibrated is told at once") {
  CameraWatch watch(calibrated(), table_tennis_surface(), {});
  const auto stances = watched_moves(watch, 20, [](int) { return knocked(); });
  REQUIRE(stances.size() == 1);
  CHECK(stances[0].from_s == 0);
  CHECK(apart_mm(stances[0].camera, knocked()) < 0.6);
}

TEST_CASE("a mount that gives way is followed in small steps") {
  CameraWatch watch(calibrated(), table_tennis_surface(), {});
  const auto sagged = [](int i) {
    const double part = std::clamp((i - 10) / 10.0, 0.0, 1.0);
    return moved(
        calibrated(), part * Eigen::Vector3d(0.0015, -0.002, 0.001), {0, 0, 0});
  };
  const auto stances = watched_moves(watch, 30, sagged);
  REQUIRE(stances.size() >= 2);
  CHECK(stances.size() <= 8);
  CHECK(stances.front().from_s > 4.9);
  CHECK(apart_mm(stances.back().camera, sagged(29)) < 0.8);
}

TEST_CASE("nothing is settled before the looks around it are known") {
  CameraWatch watch(calibrated(), table_tennis_surface(), {});
  for (int i = 0; i < 12; ++i) {
    watch.add_frame(painted(calibrated(), static_cast<std::uint64_t>(i)),
                    0.5 * i);
    const double settled_s = watch.take_news().settled_until_s;
    CHECK(settled_s == doctest::Approx(i < 4 ? 0 : 0.5 * (i - 2) + 0.25));
  }
  watch.finish();
  CHECK(std::isinf(watch.take_news().settled_until_s));
}

TEST_CASE("without lines there is nothing to watch, and nothing waits") {
  CameraWatch watch(calibrated(), table_tennis_surface(), {});
  watch.add_frame(cv::Mat(360, 640, CV_8U, cv::Scalar(90)), 0);
  CHECK_FALSE(watch.watching());
  CHECK(std::isinf(watch.take_news().settled_until_s));
}

TEST_CASE("a watch that cannot be is refused") {
  WatchOptions options;
  options.every_s = 0;
  CHECK_THROWS_AS(CameraWatch(calibrated(), table_tennis_surface(), options),
                  UsageError);
  options = {};
  options.sites.least_share = 1.5;
  CHECK_THROWS_AS(CameraWatch(calibrated(), table_tennis_surface(), options),
                  UsageError);
}

TEST_CASE(
    "a camera that goes to and fro is said to sway, a steady one is not") {
  constexpr int kLooks = 30;
  double apart_px = 0;
  for (const Eigen::Vector3d& corner : corners()) {
    apart_px +=
        (*calibrated().project(corner) - *knocked().project(corner)).norm() / 4;
  }
  CameraWatch swaying(calibrated(), table_tennis_surface(), {});
  watched_moves(swaying, kLooks, [](int i) {
    return i % 2 == 0 ? calibrated() : knocked();
  });
  CHECK(swaying.sway().shift_px > 0.15 * apart_px);
  CHECK(swaying.sway().shift_px < apart_px);
  CameraWatch steady(calibrated(), table_tennis_surface(), {});
  watched_moves(steady, kLooks, [](int) { return calibrated(); });
  CHECK(steady.sway().shift_px == 0);
}
