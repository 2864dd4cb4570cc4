// SPDX-License-Identifier: MIT
// Rules of the running judgement, each by itself.
#include "quality/qualifier.h"

#include "quality/qualification.h"
#include "support/launcher.h"

#include <algorithm>
#include <string>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("against a given baseline the feeds in control are counted anew") {
  const Baseline baseline =
      qualify(simulate_trial({}, 60, 10).table, {}).baseline;
  REQUIRE(baseline.ok);
  TrialTable table = simulate_trial({}, 70, 11).table;
  constexpr int kOff = 8;
  for (int i = 0; i < kOff; ++i) table.values(i, 1) += 4 * 18;
  const Qualification out = qualify(table, {}, baseline);
  REQUIRE(out.ready_at_feed.has_value());
  CHECK(*out.ready_at_feed >= kOff + QualityOptions().charts.confirm_feeds);
  REQUIRE(out.stable_from_feed.has_value());
  CHECK(*out.stable_from_feed > kOff);
}

TEST_CASE("a sound session is seldom warned of memory or patterns") {
  constexpr int kSessions = 80;
  int warned = 0;
  for (std::uint64_t k = 0; k < kSessions; ++k) {
    const Qualification out =
        qualify(simulate_trial({}, 50, 500 + k).table, {});
    warned += std::any_of(
        out.warnings.begin(), out.warnings.end(), [](const std::string& one) {
          return one.find("autocorrelation") != std::string::npos ||
                 one.find("every second") != std::string::npos ||
                 one.find("smaller") != std::string::npos;
        });
  }
  // Three kinds, 1 % each.
  CAPTURE(warned);
  CHECK(warned <= 7);
}

TEST_CASE("a table that grows is seldom copied") {
  constexpr int kRows = 2000;
  TrialTable table;
  const double* last = nullptr;
  int copied = 0;
  for (int feed = 1; feed <= kRows; ++feed) {
    const Eigen::VectorXd values = Eigen::VectorXd::Constant(2, feed);
    append_row({feed, values, -values, feed % 2 ? "not seen" : "", ""}, table);
    copied += table.values.data() != last;
    last = table.values.data();
  }
  CHECK(copied <= 7);
  REQUIRE(table.rows() == kRows);
  for (int i = 0; i < kRows; ++i) {
    const TrialRow row = trial_row(table, i);
    REQUIRE(row.feed == i + 1);
    REQUIRE(row.values == Eigen::Vector2d::Constant(i + 1));
    REQUIRE(row.sigmas == -row.values);
  }
}
