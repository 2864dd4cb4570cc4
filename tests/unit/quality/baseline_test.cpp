// SPDX-License-Identifier: MIT
#include "quality/baseline.h"

#include "base/error.h"
#include "quality/baseline_file.h"
#include "stats/covariance.h"
#include "support/launcher.h"

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("baseline: mis-feeds are left out, the rest is averaged plainly") {
  SimulatedTrial trial = simulate_trial({}, 30, 1);
  trial.table.values(7, 0) += 400;
  trial.table.values(19, 1) -= 300;
  trial.table.values.row(3).setConstant(std::nan(""));
  const BaselineFit fit = fit_baseline(trial.table, 0, 29, 1e-4);
  REQUIRE(fit.baseline.ok);
  CHECK(fit.baseline.n == 27);
  CHECK(fit.rows[7].misfeed);
  CHECK(fit.rows[19].misfeed);
  CHECK_FALSE(fit.rows[3].misfeed);
  CHECK(std::isnan(fit.rows[3].robust_distance2));
  std::vector<int> good;
  for (int i = 0; i < 30; ++i) {
    if (i != 3 && i != 7 && i != 19) good.push_back(i);
  }
  const MeanCovariance plain = mean_covariance(trial.table.values, good);
  CHECK((fit.baseline.mean - plain.mean).norm() < 1e-9);
  CHECK((fit.baseline.covariance - plain.covariance).norm() < 1e-9);
  CHECK(fit.baseline.correlation()(0, 3) < -0.7);
  CHECK(fit.baseline.correlation()(2, 2) == 1);
}

TEST_CASE("baseline: good feeds are rarely taken for mis-feeds") {
  int flagged = 0;
  int feeds = 0;
  for (int k = 0; k < 60; ++k) {
    const BaselineFit fit =
        fit_baseline(simulate_trial({}, 25, 500 + k).table, 0, 24, 1e-4);
    REQUIRE(fit.baseline.ok);
    for (const BaselineRow& row : fit.rows) flagged += row.misfeed;
    feeds += 25;
  }
  MESSAGE(flagged << " of " << feeds << " good feeds flagged");
  CHECK(flagged <= 0.004 * feeds);
}

TEST_CASE("baseline: a characteristic that follows from others") {
  SimulatedTrial trial = simulate_trial({}, 30, 2);
  trial.table.values.col(3) = 2 * trial.table.values.col(0);
  const BaselineFit fit = fit_baseline(trial.table, 0, 29, 1e-4);
  REQUIRE(fit.baseline.ok);
  CHECK(fit.baseline.joint == std::vector<int>{0, 1, 2});
  REQUIRE(fit.baseline.warnings.size() == 1);
  CHECK(fit.baseline.warnings[0].find("descent_deg") == 0);
}

TEST_CASE("baseline: too little to go by") {
  const SimulatedTrial trial = simulate_trial({}, 9, 3);
  const BaselineFit fit = fit_baseline(trial.table, 0, 6, 1e-4);
  CHECK_FALSE(fit.baseline.ok);
  CHECK(fit.baseline.message.find("7 complete feeds are too few") == 0);
  const BaselineFit plain = fit_baseline(trial.table, 0, 8, 1e-4);
  CHECK(plain.baseline.ok);
  REQUIRE(plain.baseline.warnings.size() == 1);
  CHECK(plain.baseline.warnings[0].find("9 complete feeds are too few to tell "
                                        "mis-feeds") == 0);
  SimulatedTrial flat = simulate_trial({}, 30, 4);
  flat.table.values.setOnes();
  CHECK_FALSE(fit_baseline(flat.table, 0, 29, 1e-4).baseline.ok);
  CHECK_FALSE(fit_baseline(flat.table, 0, -1, 1e-4).baseline.ok);
}

TEST_CASE("baseline: coarse values have a baseline or a reason") {
  // In steps of 1 and 2 sd a few feeds may agree on a plane that all others are
  // mis-feeds of.
  int refused = 0;
  int accepted = 0;
  for (const double steps : {1.0, 1.5, 2.0}) {
    LauncherFault fault;
    fault.rounding = steps;
    for (int k = 0; k < 20; ++k) {
      const SimulatedTrial trial = simulate_trial(fault, 40, k);
      for (int last = 22; last < 40; last += 3) {
        const BaselineFit fit = fit_baseline(trial.table, 0, last, 1e-4, 8);
        accepted += fit.baseline.ok;
        refused += !fit.baseline.ok;
        CHECK(fit.baseline.ok == fit.baseline.message.empty());
      }
    }
  }
  CHECK(accepted > 33);
  CHECK(refused > 33);
}

TEST_CASE("baseline: file and back") {
  const Baseline baseline =
      fit_baseline(simulate_trial({}, 40, 5).table, 0, 39, 1e-4).baseline;
  REQUIRE(baseline.ok);
  const Baseline back = parse_baseline(baseline_text(baseline), "b.json");
  CHECK(back.ok);
  CHECK(back.n == baseline.n);
  CHECK(back.characteristics == baseline.characteristics);
  CHECK(back.mean == baseline.mean);
  CHECK(back.covariance == baseline.covariance);
  CHECK(back.lag1 == baseline.lag1);
  CHECK(back.joint == baseline.joint);
  int refused = 0;
  for (const std::string& text : {std::string(),
                                  std::string("{"),
                                  std::string("[1]"),
                                  std::string("{\"format\": \"other\"}"),
                                  baseline_text(baseline).substr(0, 200)}) {
    try {
      parse_baseline(text, "b.json");
    } catch (const InputError& error) {
      CHECK(std::string(error.what()).find("b.json: not a baseline") == 0);
      ++refused;
    }
  }
  CHECK(refused == 5);
}
