// SPDX-License-Identifier: MIT
#include "simulate/launcher_process.h"

#include "base/units.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

LauncherOptions plain_launcher() {
  LauncherOptions options;
  options.feeds = 2000;
  options.speed_mps = {6, 0.05};
  options.elevation_rad = {0.2, 0};
  options.heading_rad = {0, 0.01};
  options.exit_sd_m.setZero();
  return options;
}

std::vector<double> speeds(const LauncherOptions& options) {
  std::vector<double> values;
  for (const Launch& launch : launches(options, 3)) {
    values.push_back(launch.state.v_mps.norm());
  }
  return values;
}

double mean(const std::vector<double>& values) {
  double sum = 0;
  for (const double value : values) sum += value;
  return sum / static_cast<double>(values.size());
}

// Lag-k autocovariance.
double covariance(const std::vector<double>& values, std::size_t lag) {
  const double middle = mean(values);
  double sum = 0;
  for (std::size_t i = lag; i < values.size(); ++i) {
    sum += (values[i] - middle) * (values[i - lag] - middle);
  }
  return sum / static_cast<double>(values.size() - lag);
}

}  // namespace

TEST_CASE("the same seed gives the same launches, another seed others") {
  const auto a = launches(plain_launcher(), 1);
  const auto b = launches(plain_launcher(), 1);
  const auto c = launches(plain_launcher(), 2);
  REQUIRE(a.size() == 2000);
  int same = 0;
  int other = 0;
  for (std::size_t i = 0; i < a.size(); ++i) {
    same += a[i].t_s == b[i].t_s && a[i].state.v_mps == b[i].state.v_mps;
    other += a[i].state.v_mps != c[i].state.v_mps;
  }
  CHECK(same == 2000);
  CHECK(other == 2000);
}

TEST_CASE("changing one quantity leaves the others' numbers alone") {
  LauncherOptions options = plain_launcher();
  const auto a = launches(options, 1);
  options.topspin_radps = {100, 10};
  const auto b = launches(options, 1);
  CHECK(a.back().state.v_mps == b.back().state.v_mps);
}

TEST_CASE("mean and scatter are those asked for") {
  const auto values = speeds(plain_launcher());
  // Four standard errors of mean and sd.
  CHECK(std::abs(mean(values) - 6) < 4 * 0.05 / std::sqrt(2000));
  CHECK(std::abs(std::sqrt(covariance(values, 0)) - 0.05) <
        4 * 0.05 / std::sqrt(4000));
  CHECK(std::abs(covariance(values, 1) / covariance(values, 0)) <
        4 / std::sqrt(2000));
}

TEST_CASE("autocorrelation keeps the scatter and links neighbours") {
  LauncherOptions options = plain_launcher();
  options.autocorrelation = 0.6;
  const auto values = speeds(options);
  CHECK(std::sqrt(covariance(values, 0)) == doctest::Approx(0.05).epsilon(0.1));
  CHECK(covariance(values, 1) / covariance(values, 0) ==
        doctest::Approx(0.6).epsilon(0.12));
}

TEST_CASE("warm-up dies away and drift goes on") {
  LauncherOptions options = plain_launcher();
  options.feeds = 101;
  options.speed_mps.sd = 0;
  options.warm_up_speed_mps = -0.4;
  options.warm_up_feeds = 5;
  options.drift_speed_mps = 0.001;
  const auto values = speeds(options);
  CHECK(values[0] == doctest::Approx(5.6));
  CHECK(values[5] == doctest::Approx(6 - 0.4 * std::exp(-1) + 0.005));
  CHECK(values[100] == doctest::Approx(6.1));
}

TEST_CASE("mis-feeds come where they are asked for, doubles right behind") {
  LauncherOptions options = plain_launcher();
  options.feeds = 5;
  options.speed_mps.sd = 0;
  options.misfeeds = {3};
  options.double_feed_probability = 1;
  const auto all = launches(options, 1);
  REQUIRE(all.size() == 10);
  int misfeeds = 0;
  for (std::size_t i = 0; i < all.size(); ++i) {
    CHECK(all[i].second_of_double == (i % 2 == 1));
    misfeeds += all[i].misfeed;
  }
  CHECK(misfeeds == 2);  // feed 3 and its second ball
  CHECK(all[4].state.v_mps.norm() == doctest::Approx(4.8));
  CHECK(all[5].t_s - all[4].t_s == doctest::Approx(0.12));
}

TEST_CASE("spin is told apart by its axis") {
  LauncherOptions options = plain_launcher();
  options.feeds = 1;
  options.heading_rad = {0.5, 0};
  options.topspin_radps = {100, 0};
  const MovingBall state = launches(options, 1)[0].state;
  CHECK(state.spin_radps.dot(state.v_mps) == doctest::Approx(0));
  CHECK(state.spin_radps.z() == 0);
  // Topspin pushes down: w x v points to -z.
  CHECK(state.spin_radps.cross(state.v_mps).z() < 0);
}
