// SPDX-License-Identifier: MIT
#include "pairing/effect.h"

#include "base/error.h"

#include <cmath>
#include <random>

#include "pairing/sensitivity.h"
#include "pairing/trial_sequence.h"
#include "unit/pairing/invented_samples.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

struct Trial {
  std::vector<Sample> samples;
  Outcome outcome;
};

// M is fed half a standard deviation shorter; K is better by `truth`.
Trial biased_trial(unsigned seed, double truth, double slope) {
  Trial trial;
  trial.samples = {invented_sample("K", 60, 0.5, seed),
                   invented_sample("M", 60, 0, seed + 1)};
  trial.outcome = number_outcome(
      "ret_speed_mps",
      {invented_outcome(trial.samples[0], slope, truth, 0.3, seed + 2),
       invented_outcome(trial.samples[1], slope, 0, 0.3, seed + 3)});
  return trial;
}

Effect effect_of(const Trial& trial, const EffectOptions& options = {}) {
  const FeedDistance distance(trial.samples, {});
  const Matching matching = match(trial.samples, distance);
  return estimate_effect(
      trial.samples, matching, distance, trial.outcome, 0, 1, options);
}

}  // namespace

TEST_CASE("a true difference is found, what the feed made is not") {
  double raw = 0;
  double matched = 0;
  double adjusted = 0;
  int covered = 0;
  constexpr int kRuns = 60;
  EffectOptions options;
  options.resamples = 100;
  for (unsigned run = 0; run < kRuns; ++run) {
    const Effect effect =
        effect_of(biased_trial(10 * run, 0.25, 0.02), options);
    REQUIRE(effect.matched.ok);
    CHECK(effect.corrected);
    CHECK(effect.sets > 25);
    raw += effect.raw.value / kRuns;
    matched += effect.matched.value / kRuns;
    adjusted += effect.adjusted.value / kRuns;
    covered += effect.matched.interval.contains(0.25);
  }
  // Bias of the raw difference: 0.5 sd of 40 mm by 0.02 per mm.
  CHECK(raw == doctest::Approx(0.65).epsilon(0.06));
  CHECK(matched == doctest::Approx(0.25).epsilon(0.12));
  CHECK(adjusted == doctest::Approx(0.25).epsilon(0.12));
  CHECK(covered >= 52);
}

TEST_CASE("every estimate of one trial, and its size") {
  EffectOptions options;
  options.difference = 0.1;
  Trial trial = biased_trial(4, 1, 0.02);
  trial.outcome.sigmas[0].setConstant(0.4);
  const Effect effect = effect_of(trial, options);
  CHECK(effect.differences.size() == static_cast<std::size_t>(effect.sets));
  CHECK(effect.hodges_lehmann.interval.contains(1));
  CHECK(effect.bootstrap.contains(1));
  CHECK(effect.signed_rank_p < 1e-5);
  CHECK(effect.gamma > 3);
  CHECK(effect.reading_sigma == doctest::Approx(0.4));
  CHECK(effect.detectable ==
        doctest::Approx(2.9 * effect.matched.se).epsilon(0.05));
  // n = (2.8 sd / difference)^2
  const double sd = effect.matched.se * std::sqrt(effect.sets);
  CHECK(effect.pairs_needed ==
        doctest::Approx(std::pow(2.8016 * sd / 0.1, 2)).epsilon(0.03));
  const Effect again = effect_of(trial, options);
  CHECK(effect.bootstrap.low == again.bootstrap.low);
}

TEST_CASE("unknown outcomes leave their sets out") {
  Trial trial = biased_trial(4, 0, 0);
  const int all = effect_of(trial).sets;
  trial.outcome.values[0].head(30).setConstant(NAN);
  const int some = effect_of(trial).sets;
  CHECK(some < all);
  CHECK(some > 0);
  trial.outcome.values[1].setConstant(NAN);
  const Effect nothing = effect_of(trial);
  CHECK(nothing.sets == 0);
  CHECK_FALSE(nothing.matched.ok);
  CHECK_FALSE(nothing.raw.ok);
  CHECK_FALSE(nothing.significant(0.95));
}

TEST_CASE("yes and no: shares, pairs, McNemar") {
  Trial trial = biased_trial(4, 0, 0);
  trial.outcome.kind = OutcomeKind::kYesNo;
  for (int i = 0; i < 60; ++i) {
    trial.outcome.values[0](i) = i % 10 != 0;
    trial.outcome.values[1](i) = i % 2;
  }
  const Effect effect = effect_of(trial);
  CHECK(effect.share_a.yes == 54);
  CHECK(effect.share_b.yes == 30);
  CHECK(effect.raw.value == doctest::Approx(0.4));
  CHECK(effect.fisher_p < 0.001);
  CHECK(effect.counts.pairs() == effect.sets);
  CHECK(effect.matched.value == doctest::Approx(effect.counts.difference()));
  CHECK(effect.matched.p == mcnemar_exact_p(effect.counts));
  CHECK(effect.matched.interval.contains(effect.matched.value));
  CHECK(effect.adjusted.value == doctest::Approx(0.4).epsilon(0.25));
  CHECK(effect.gamma > 1);
  CHECK(effect.detectable > 0.05);
  CHECK(effect.detectable < 0.6);
}

TEST_CASE("Rosenbaum's gamma is where the p value crosses") {
  std::vector<double> d;
  for (int i = 1; i <= 30; ++i) d.push_back(i % 6 == 0 ? -i : i);
  const SignedRank ranks = signed_rank(d);
  const double gamma = sensitivity_gamma(ranks, 0.05);
  CHECK(signed_rank_p(ranks, gamma) <= 0.05);
  CHECK(signed_rank_p(ranks, 1.01 * gamma) > 0.05);
  const PairedCounts counts{10, 25, 5, 10};
  const double odds = sensitivity_gamma(counts, 0.05);
  CHECK(mcnemar_exact_p(counts, odds) <= 0.05);
  CHECK(mcnemar_exact_p(counts, 1.01 * odds) > 0.05);
  CHECK(std::isnan(sensitivity_gamma(PairedCounts{1, 3, 2, 1}, 0.05)));
  CHECK(std::isnan(sensitivity_gamma(signed_rank({}), 0.05)));
  // mcnemar_size and its inverse.
  const double least = detectable_share(counts, {});
  CHECK(mcnemar_size(std::max(0.6, least), least, {}) ==
        doctest::Approx(50).epsilon(1e-6));
  CHECK(std::isnan(detectable_share({0, 1, 0, 0}, {})));
}

TEST_CASE("several outcomes share the level") {
  std::vector<Effect> effects(3);
  effects[0].matched.p = 0.04;
  effects[1].matched.p = 0.01;
  adjust_for_multiplicity(effects);
  CHECK(effects[1].p_holm == doctest::Approx(0.02));
  CHECK(effects[0].p_holm == doctest::Approx(0.04));
  CHECK(std::isnan(effects[2].p_holm));
}

TEST_CASE("the order of the trials, and drift carried over it") {
  Sample a = invented_sample("K", 50, 0, 1);
  Sample b = invented_sample("M", 50, 0, 2);
  const TrialSequence apart = trial_sequence(a, b);
  CHECK(apart.separate);
  CHECK(apart.a_first == 1);
  CHECK(apart.apart == doctest::Approx(50));
  for (int& feed : b.feeds) feed += 100;
  const TrialSequence later = trial_sequence(a, b);
  CHECK_FALSE(later.separate);
  CHECK(later.mixed_with_sample());
  CHECK(later.apart == doctest::Approx(100));
  // 0.03 per feed, up: K comes 100 feeds earlier, so K - M drifts by -3.
  Eigen::VectorXd of_a(50);
  Eigen::VectorXd of_b(50);
  for (int i = 0; i < 50; ++i) {
    of_a(i) = 0.03 * i;
    of_b(i) = 7 + 0.03 * i;
  }
  CHECK(drift_between(later, of_a, of_b).between_samples ==
        doctest::Approx(-3));
  CHECK(drift_between(later, of_a, of_b).se == doctest::Approx(0));

  a.ordered = b.ordered = true;
  for (int i = 0; i < 50; ++i) {
    a.order[static_cast<std::size_t>(i)] = 2 * i;
    b.order[static_cast<std::size_t>(i)] = 2 * i + 1;
  }
  const TrialSequence mixed = trial_sequence(a, b);
  CHECK_FALSE(mixed.mixed_with_sample());
  CHECK(std::abs(mixed.apart) == doctest::Approx(1));
  const Eigen::VectorXd unknown = Eigen::VectorXd::Constant(50, NAN);
  CHECK(std::isnan(drift_between(mixed, unknown, unknown).between_samples));
}

TEST_CASE("effect options that cannot be") {
  EffectOptions options;
  options.confidence = 1;
  CHECK_THROWS_AS(options.check(), UsageError);
  options.confidence = 0.95;
  options.difference = -1;
  CHECK_THROWS_AS(options.check(), UsageError);
}

TEST_CASE("films that are off together: the interval says so") {
  // Each film's speeds are off alike by 0.05 m/s, as far as anybody knows, and
  // what it reads of the outcome by 0.05; speed moves the outcome by 3 per m/s.
  constexpr int kRuns = 150;
  constexpr double kOff = 0.05;
  EffectOptions options;
  options.resamples = 100;
  int covered = 0;
  int covered_without = 0;
  std::mt19937 random(5);
  std::normal_distribution<double> off(0, kOff);
  for (unsigned run = 0; run < kRuns; ++run) {
    Trial trial = biased_trial(7000 + 10 * run, 0.25, 0);
    trial.outcome.shared = {kOff, kOff};
    for (std::size_t s = 0; s < 2; ++s) {
      Sample& sample = trial.samples[s];
      trial.outcome.values[s] += 3 * sample.values.col(1);
      trial.outcome.values[s].array() += off(random);
      sample.values.col(1).array() += off(random);
    }
    const Effect without = [&] {
      Trial one_film = trial;
      one_film.outcome.shared.clear();
      return effect_of(one_film, options);
    }();
    CHECK(without.films == 0);
    covered_without += without.matched.interval.contains(0.25);
    for (Sample& sample : trial.samples) {
      sample.shared["speed_in_mps"] = kOff;
      sample.shared["descent_deg"] = 5;  // not matched on: of no account
    }
    const Effect effect = effect_of(trial, options);
    covered += effect.matched.interval.contains(0.25);
    CHECK(effect.matched.value == without.matched.value);
    CHECK(effect.matched.p >= without.matched.p);
    CHECK(effect.detectable > without.detectable);
    // sqrt(2) * 0.05 of the outcome and three times that of the speed; its
    // slope is known to some 0.5.
    CHECK(
        effect.films ==
        doctest::Approx(std::hypot(1, 3) * std::sqrt(2.0) * kOff).epsilon(0.4));
  }
  CAPTURE(covered);
  CAPTURE(covered_without);
  CHECK(covered > 0.92 * kRuns);
  CHECK(covered_without < 0.8 * kRuns);
}
