// SPDX-License-Identifier: MIT
#include "pairing/matched_sets.h"

#include "pairing/balance.h"
#include "support/statistics_data.h"
#include "unit/pairing/invented_samples.h"

#include <cmath>
#include <set>

#include <Eigen/Dense>
#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace evenfeed;

namespace {

// Treated and controls, matched on the six covariates of the check values.
std::vector<Sample> lalonde() {
  const CsvTable table = statistics_table("lalonde.csv");
  const std::vector<std::string> names{
      "age", "educ", "married", "nodegree", "re74", "re75"};
  const auto treat = column_of(table, "treat");
  std::vector<Sample> samples(2);
  for (std::size_t s = 0; s < 2; ++s) {
    Sample& sample = samples[s];
    sample.name = s == 0 ? "treated" : "control";
    sample.characteristics = names;
    for (std::size_t r = 0; r < table.rows(); ++r) {
      if ((treat[r] == 1) == (s == 0)) {
        sample.feeds.push_back(static_cast<int>(r));
      }
    }
    sample.rho_xy.assign(sample.feeds.size(), 0);
    sample.values.resize(sample.size(), 6);
    sample.sigmas = Eigen::MatrixXd::Zero(sample.size(), 6);
    for (int i = 0; i < sample.size(); ++i) {
      const auto row =
          static_cast<std::size_t>(sample.feeds[static_cast<std::size_t>(i)]);
      for (int k = 0; k < 6; ++k) {
        sample.values(i, k) = table.require_number(
            row, table.require_column(names[static_cast<std::size_t>(k)]));
      }
    }
  }
  return samples;
}

CaliperOptions without_calipers() {
  CaliperOptions options;
  options.use = false;
  return options;
}

// Pairs closer than `limit` only.
Assignment within(const std::vector<Sample>& samples,
                  const FeedDistance& distance,
                  double limit) {
  Candidates near;
  near.columns = samples[1].size();
  for (int i = 0; i < samples[0].size(); ++i) {
    for (int j = 0; j < samples[1].size(); ++j) {
      const double d = distance.between(samples[0], i, samples[1], j);
      if (d <= limit) near.add(j, d);
    }
    near.end_row();
  }
  return assign(near);
}

}  // namespace

TEST_CASE("the optimal match of the Lalonde data") {
  // scipy linear_sum_assignment, R clue::solve_LSAP and R optmatch agree on
  // the total to 1e-9; distances as MatchIt::mahalanobis_dist.
  const std::vector<Sample> samples = lalonde();
  REQUIRE(samples[0].size() == 185);
  REQUIRE(samples[1].size() == 429);
  const FeedDistance distance(samples, without_calipers());
  const double first_row[] = {6.597947893245,
                              6.870041601853,
                              6.003871960842,
                              4.998182151038,
                              5.010939977411};
  for (int j = 0; j < 5; ++j) {
    CHECK(distance.between(samples[0], 0, samples[1], j) ==
          doctest::Approx(first_row[j]).epsilon(1e-11));
  }
  const Matching matching = match(samples, distance);
  CHECK(matching.pairs == 185);
  CHECK(std::abs(matching.distance - 125.893125843959) < 1e-10);
  // The best pairing is not unique (of people who differ in age only, those
  // between two others may change partners), its total and largest are.
  double largest = 0;
  for (const MatchedSet& set : matching.sets) {
    largest = std::max(largest, set.distance);
  }
  CHECK(largest == doctest::Approx(4.209204847242).epsilon(1e-11));
  CHECK(matching.left_out.size() == 429 - 185);
}

TEST_CASE("as many pairs as possible within a caliper, then the least total") {
  // scipy, with forbidden pairs priced out.
  const std::vector<Sample> samples = lalonde();
  const FeedDistance distance(samples, without_calipers());
  struct Case {
    double limit;
    int pairs;
    double total;
  };
  for (const auto& [limit, pairs, total] : {Case{1, 159, 84.584622875573},
                                            Case{.5, 81, 19.431824404252},
                                            Case{.25, 48, 5.254667767907},
                                            Case{.1, 18, .216382078488}}) {
    const Assignment got = within(samples, distance, limit);
    CAPTURE(limit);
    CHECK(got.pairs == pairs);
    CHECK(std::abs(got.cost - total) < 1e-10);
  }
}

TEST_CASE("balance of the Lalonde data before and after") {
  const std::vector<Sample> samples = lalonde();
  const FeedDistance distance(samples, without_calipers());
  const auto rows = balance(samples, match(samples, distance), 0, 1);
  const CsvTable expected = statistics_table("lalonde_optimal_smd.csv");
  const auto before = column_of(expected, "smd_before_sdpool");
  const auto after = column_of(expected, "smd_after_sdpool");
  REQUIRE(rows.size() == 6);
  for (std::size_t k = 0; k < 6; ++k) {
    CAPTURE(rows[k].characteristic);
    CHECK(rows[k].smd_before == doctest::Approx(before[k]).epsilon(1e-9));
    // Pairs of the same distance make the match itself not unique.
    CHECK(std::abs(rows[k].smd_after - after[k]) < 0.02);
  }
}

TEST_CASE("calipers hold, nobody stands twice, the rest is explained") {
  const std::vector<Sample> samples{invented_sample("K", 70, 0, 1),
                                    invented_sample("M", 60, 0.8, 2)};
  CaliperOptions options;
  options.width["x_mm"] = 25;
  options.default_sd = 0.5;
  const FeedDistance distance(samples, options);
  CHECK(distance.calipers()(0) == 25);
  CHECK(distance.calipers()(1) ==
        doctest::Approx(0.5 * distance.pooled_sd()(1)));
  for (const int ratio : {1, 2}) {
    const Matching matching = match(samples, distance, ratio);
    std::set<int> seen_a;
    std::set<int> seen_b;
    for (const MatchedSet& set : matching.sets) {
      CHECK(seen_a.insert(set.members[0][0]).second);
      CHECK(static_cast<int>(set.members[1].size()) <= ratio);
      for (const int j : set.members[1]) {
        CHECK(seen_b.insert(j).second);
        CHECK(std::abs(samples[0].values(set.members[0][0], 0) -
                       samples[1].values(j, 0)) <= 25);
        CHECK(distance.near(samples[0], set.members[0][0], samples[1], j));
      }
    }
    CHECK(seen_a.size() + seen_b.size() + matching.left_out.size() == 130);
    CHECK(matching.pairs == static_cast<int>(seen_b.size()));
    int explained = 0;
    for (const LeftOut& left : matching.left_out) {
      const auto& own = left.sample == 0 ? seen_a : seen_b;
      CHECK(own.count(left.feed) == 0);
      REQUIRE(left.nearest >= 0);
      const bool near =
          distance.near(samples[static_cast<std::size_t>(left.sample)],
                        left.feed,
                        samples[static_cast<std::size_t>(left.of)],
                        left.nearest);
      CHECK(near == left.broken.empty());
      explained += !left.broken.empty();
    }
    CHECK(explained > 10);
  }
}

TEST_CASE("three samples: every two of a set within calipers") {
  const std::vector<Sample> samples{invented_sample("K", 40, 0, 1),
                                    invented_sample("M", 45, 0.2, 2),
                                    invented_sample("P", 50, -0.2, 3)};
  const FeedDistance distance(samples, {});
  const Matching matching = match(samples, distance);
  CHECK_FALSE(matching.exact);
  CHECK(matching.sets.size() > 15);
  std::vector<std::set<int>> seen(3);
  double total = 0;
  for (const MatchedSet& set : matching.sets) {
    for (std::size_t s = 0; s < 3; ++s) {
      REQUIRE(set.members[s].size() == 1);
      CHECK(seen[s].insert(set.members[s][0]).second);
      for (std::size_t t = s + 1; t < 3; ++t) {
        CHECK(distance.near(
            samples[s], set.members[s][0], samples[t], set.members[t][0]));
        total += distance.between(
            samples[s], set.members[s][0], samples[t], set.members[t][0]);
      }
    }
  }
  CHECK(total == doctest::Approx(matching.distance));
}

TEST_CASE("measurement uncertainty draws feeds nearer to each other") {
  std::vector<Sample> samples{invented_sample("K", 30, 0, 1),
                              invented_sample("M", 30, 0, 2)};
  const FeedDistance sharp(samples, {});
  CHECK(sharp.noise_share().maxCoeff() == 0);
  // Without uncertainties: Mahalanobis, worked out the long way.
  Eigen::Matrix2d pooled = Eigen::Matrix2d::Zero();
  for (const Sample& sample : samples) {
    const Eigen::MatrixXd centred =
        sample.values.rowwise() - sample.values.colwise().mean();
    pooled += centred.transpose() * centred / 58;
  }
  const Eigen::Vector2d d =
      (samples[0].values.row(3) - samples[1].values.row(4)).transpose();
  CHECK(sharp.between(samples[0], 3, samples[1], 4) ==
        doctest::Approx(std::sqrt(d.dot(pooled.inverse() * d))));
  for (Sample& sample : samples) sample.sigmas.col(0).setConstant(20);
  const FeedDistance blurred(samples, {});
  CHECK(blurred.noise_share()(0) ==
        doctest::Approx(400 / pooled(0, 0)).epsilon(1e-9));
  // L + M_a + M_b = pooled - M + 2 M.
  Eigen::Matrix2d wider = pooled;
  wider(0, 0) += 400;
  CHECK(blurred.between(samples[0], 3, samples[1], 4) ==
        doctest::Approx(std::sqrt(d.dot(wider.inverse() * d))));
}

TEST_CASE("distance: every feed has a measurement of its own, and rho") {
  std::vector<Sample> samples{invented_sample("K", 30, 0, 1),
                              invented_sample("M", 30, 0, 2)};
  Eigen::Matrix2d pooled = Eigen::Matrix2d::Zero();
  Eigen::Vector2d noise = Eigen::Vector2d::Zero();
  for (Sample& sample : samples) {
    sample.characteristics = {"x_mm", "y_mm"};
    for (int i = 0; i < sample.size(); ++i) {
      sample.sigmas(i, 0) = 4 + 0.3 * i;
      sample.sigmas(i, 1) = 0.02 - 0.0004 * i;
      sample.rho_xy[static_cast<std::size_t>(i)] = i % 2 == 0 ? 0.6 : -0.6;
    }
    const Eigen::MatrixXd centred =
        sample.values.rowwise() - sample.values.colwise().mean();
    pooled += centred.transpose() * centred / 58;
    noise += sample.sigmas.array().square().matrix().colwise().sum() / 60;
  }
  const FeedDistance distance(samples, {});
  const Eigen::Matrix2d launcher = pooled - Eigen::Matrix2d(noise.asDiagonal());
  const auto by_hand = [&](int i, int j) {
    Eigen::Matrix2d all = launcher;
    for (const auto& [s, k] : {std::pair{0, i}, {1, j}}) {
      const Sample& sample = samples[static_cast<std::size_t>(s)];
      const double a = sample.sigmas(k, 0);
      const double b = sample.sigmas(k, 1);
      const double shared = sample.rho_xy[static_cast<std::size_t>(k)] * a * b;
      all(0, 0) += a * a;
      all(1, 1) += b * b;
      all(0, 1) += shared;
      all(1, 0) += shared;
    }
    const Eigen::Vector2d d =
        (samples[0].values.row(i) - samples[1].values.row(j)).transpose();
    const double determinant = all(0, 0) * all(1, 1) - all(0, 1) * all(1, 0);
    return std::sqrt((all(1, 1) * d(0) * d(0) - 2 * all(0, 1) * d(0) * d(1) +
                      all(0, 0) * d(1) * d(1)) /
                     determinant);
  };
  for (const auto& [i, j] : {std::pair{0, 29}, {29, 0}, {4, 20}, {7, 21}}) {
    CAPTURE(i);
    CHECK(distance.between(samples[0], i, samples[1], j) ==
          doctest::Approx(by_hand(i, j)).epsilon(1e-9));
  }
  // For looking around: the launcher and two mean measurements.
  const Eigen::Matrix2d mean =
      launcher + 2 * Eigen::Matrix2d(noise.asDiagonal());
  const Eigen::Vector2d d =
      (samples[0].values.row(3) - samples[1].values.row(5)).transpose();
  CHECK((distance.whitened(samples[0]).row(3) -
         distance.whitened(samples[1]).row(5))
            .norm() == doctest::Approx(std::sqrt(d.dot(mean.inverse() * d))));
}

TEST_CASE("calipers: exactly at one is within it, by every way of asking") {
  // Values of few decimals: the difference of two is seldom what it looks.
  int at_limit = 0;
  for (const double limit : {50.0, 0.1, 0.03, 0.6, 0.012}) {
    const double step = limit / 4;
    std::vector<Sample> samples{invented_sample("K", 40, 0, 1),
                                invented_sample("M", 40, 0, 2)};
    for (int i = 0; i < 40; ++i) {
      samples[0].values(i, 0) = std::stod(fmt::format("{:.4f}", step * i));
      samples[1].values(i, 0) =
          std::stod(fmt::format("{:.4f}", step * (i - 20)));
    }
    CaliperOptions options;
    options.width = {{"x_mm", limit}, {"speed_in_mps", 100}};
    const FeedDistance distance(samples, options);
    const Candidates found = distance.candidates(samples[0], samples[1]);
    std::size_t expected = 0;
    for (int i = 0; i < 40; ++i) {
      for (int j = 0; j < 40; ++j) {
        const int steps = std::abs(i - (j - 20));
        CAPTURE(limit);
        CAPTURE(i);
        CAPTURE(j);
        CHECK(distance.near(samples[0], i, samples[1], j) == (steps <= 4));
        CHECK(distance.broken(samples[0], i, samples[1], j).empty() ==
              (steps <= 4));
        expected += steps <= 4;
        at_limit += steps == 4;
      }
    }
    CHECK(found.column.size() == expected);
  }
  CHECK(at_limit >= 200);
}

TEST_CASE("feeds that never vary, and samples too small") {
  Sample a = invented_sample("K", 3, 0, 1);
  Sample b = invented_sample("M", 3, 0, 2);
  a.values.setConstant(1);
  b.values.setConstant(1);
  const FeedDistance nothing({a, b}, {});
  CHECK(nothing.used().empty());
  CHECK(std::isinf(nothing.between(a, 0, b, 0)));
  CHECK(match({a, b}, nothing).pairs == 0);
  CHECK_THROWS_AS(
      FeedDistance(
          {invented_sample("K", 1, 0, 1), invented_sample("M", 1, 0, 1)}, {}),
      std::logic_error);
  const std::vector<Sample> two{invented_sample("K", 3, 0, 1),
                                invented_sample("M", 3, 0, 2)};
  const FeedDistance distance(two, {});
  CHECK_THROWS_AS(match({two[0]}, distance), std::logic_error);
  CHECK_THROWS_AS(match(two, distance, 0), std::logic_error);
}
