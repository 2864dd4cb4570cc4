// SPDX-License-Identifier: MIT
#include "simulate/sensor.h"

#include <cmath>

#include "test_scene.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

struct Even {
  cv::Mat3f light;
  FinePlanes planes;
  Even(const Scene& scene, const Sensor& sensor, float level)
      : light(scene.camera.model.height_px,
              scene.camera.model.width_px,
              cv::Vec3f(level, level, level)) {
    planes.y.create(light.size());
    planes.u.create(light.rows / 2, light.cols / 2);
    planes.v.create(light.rows / 2, light.cols / 2);
    sensor.store(light, cv::Rect({0, 0}, light.size()), planes);
  }
};

double sensor_mean(const std::vector<std::uint8_t>& plane) {
  double sum = 0;
  for (const std::uint8_t value : plane) sum += value;
  return sum / static_cast<double>(plane.size());
}

double product_of(const std::vector<std::uint8_t>& a,
                  const std::vector<std::uint8_t>& b) {
  const double ma = sensor_mean(a);
  const double mb = sensor_mean(b);
  double sum = 0;
  for (std::size_t i = 0; i < a.size(); ++i) sum += (a[i] - ma) * (b[i] - mb);
  return sum / static_cast<double>(a.size());
}

}  // namespace

// ITU-R BT.709-6: black at 16, white at 235, no colour at 128.
TEST_CASE("black, white and grey stand where BT.709 puts them") {
  const Scene scene = halved(plain_scene());
  const Sensor sensor(scene, 1);
  for (const auto& [level, y] :
       {std::pair{0.0f, 16.0}, {1.0f, 235.0}, {0.2176f, 125.5}}) {
    const Even even(scene, sensor, level);
    const YuvPicture picture = sensor.develop(even.planes, 0, 0);
    CHECK(sensor_mean(picture.y) == doctest::Approx(y).epsilon(0.005));
    CHECK(sensor_mean(picture.u) == 128);
    CHECK(sensor_mean(picture.v) == 128);
  }
}

TEST_CASE("noise has the sd asked for and no memory") {
  Scene scene = halved(plain_scene());
  scene.nuisance.read_noise = 1.5;
  scene.nuisance.shot_noise = 2.0;
  const Sensor sensor(scene, 1);
  const Even even(scene, sensor, 0.2176f);  // mid grey
  const auto a = sensor.develop(even.planes, 0, 0);
  const auto b = sensor.develop(even.planes, 0, 1);
  // Rounding to whole levels adds 1/12.
  const double expected = 1.5 * 1.5 + 2.0 * 2.0 + 1.0 / 12;
  CHECK(product_of(a.y, a.y) == doctest::Approx(expected).epsilon(0.03));
  CHECK(std::abs(product_of(a.y, b.y)) < 0.05);
  const auto again = sensor.develop(even.planes, 0, 0);
  CHECK(a.y == again.y);
}

TEST_CASE("flicker is the mean of its wave over the exposure") {
  Scene scene = halved(plain_scene());
  scene.nuisance.flicker_hz = 100;
  scene.nuisance.flicker_depth = 0.2;
  const auto swing = [&](double exposure_s) {
    scene.camera.model.exposure_s = exposure_s;
    const Sensor sensor(scene, 1);
    const Even even(scene, sensor, 0.2176f);
    double low = 255;
    double high = 0;
    for (int frame = 0; frame < 40; ++frame) {
      const auto picture = sensor.develop(even.planes, frame * 0.00037, 0);
      low = std::min(low, sensor_mean(picture.y));
      high = std::max(high, sensor_mean(picture.y));
    }
    return high - low;
  };
  // 109.5 levels over black times (1.2^(1/2.2) - 0.8^(1/2.2)).
  CHECK(swing(1e-5) == doctest::Approx(20.0).epsilon(0.04));
  CHECK(swing(0.005) == doctest::Approx(12.7).epsilon(0.06));
  CHECK(swing(0.01) < 0.6);  // a whole period
}

TEST_CASE("a part stored anew changes only that part") {
  const Scene scene = halved(plain_scene());
  const Sensor sensor(scene, 1);
  Even even(scene, sensor, 0.1f);
  const FinePlanes before{
      even.planes.y.clone(), even.planes.u.clone(), even.planes.v.clone()};
  even.light.setTo(cv::Scalar::all(0.5));
  sensor.store(even.light, {11, 21, 5, 3}, even.planes);
  CHECK(cv::countNonZero(even.planes.y != before.y) == 6 * 4);
}
