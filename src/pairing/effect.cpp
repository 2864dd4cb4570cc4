// SPDX-License-Identifier: MIT
#include "pairing/effect.h"

#include "base/check.h"
#include "stats/bootstrap.h"
#include "stats/descriptive.h"
#include "stats/least_squares.h"
#include "stats/multiplicity.h"

#include <algorithm>
#include <cmath>

#include "pairing/sensitivity.h"

namespace evenfeed {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

// Sets with the outcome known on both sides.
struct SetDifferences {
  std::vector<double> outcome;  // a - b
  Eigen::MatrixXd feed;         // a - b, a column per used characteristic
  std::vector<std::pair<double, double>> sides;
  bool one_to_one = true;
};

std::vector<double> known(const Eigen::VectorXd& values) {
  return finite_only({values.data(), static_cast<std::size_t>(values.size())});
}

double mean_known(const Eigen::VectorXd& values, const std::vector<int>& who) {
  double sum = 0;
  int n = 0;
  for (const int i : who) {
    if (!std::isfinite(values(i))) continue;
    sum += values(i);
    ++n;
  }
  return sum / n;  // NaN when nobody is known
}

SetDifferences set_differences(const std::vector<Sample>& samples,
                               const Matching& matching,
                               const std::vector<int>& columns,
                               const Outcome& outcome,
                               int a,
                               int b) {
  SetDifferences result;
  std::vector<Eigen::RowVectorXd> rows;
  for (const MatchedSet& set : matching.sets) {
    const auto& of_a = set.members[at(a)];
    // Partners without an outcome do not count for the feed either.
    std::vector<int> of_b;
    for (const int j : set.members[at(b)]) {
      if (std::isfinite(outcome.values[at(b)](j))) of_b.push_back(j);
    }
    const double value_a = mean_known(outcome.values[at(a)], of_a);
    if (of_b.empty() || !std::isfinite(value_a)) continue;
    const double value_b = mean_known(outcome.values[at(b)], of_b);
    result.one_to_one = result.one_to_one && set.members[at(b)].size() == 1;
    result.outcome.push_back(value_a - value_b);
    result.sides.emplace_back(value_a, value_b);
    const Eigen::RowVectorXd feed_b =
        samples[at(b)].values(of_b, columns).colwise().mean();
    rows.push_back(samples[at(a)].values(of_a[0], columns) - feed_b);
  }
  result.feed.resize(static_cast<Eigen::Index>(rows.size()),
                     static_cast<Eigen::Index>(columns.size()));
  for (std::size_t i = 0; i < rows.size(); ++i) {
    result.feed.row(static_cast<Eigen::Index>(i)) = rows[i];
  }
  return result;
}

struct Adjusted {
  Estimate difference;
  Eigen::VectorXd slopes;  ///< of the outcome, per characteristic
};

// All usable feeds, the characteristics of the feed held equal by regression.
Adjusted adjusted_estimate(const std::vector<Sample>& samples,
                           const std::vector<int>& columns,
                           const Outcome& outcome,
                           int a,
                           int b,
                           double confidence) {
  std::vector<Eigen::RowVectorXd> rows;
  std::vector<double> values;
  for (const int s : {a, b}) {
    for (int i = 0; i < samples[at(s)].size(); ++i) {
      const double value = outcome.values[at(s)](i);
      if (!std::isfinite(value)) continue;
      Eigen::RowVectorXd row(columns.size() + 2);
      row << 1, s == a ? 1 : 0, samples[at(s)].values(i, columns);
      rows.push_back(row);
      values.push_back(value);
    }
  }
  Eigen::MatrixXd x(rows.size(), columns.size() + 2);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    x.row(static_cast<Eigen::Index>(i)) = rows[i];
  }
  // About their mean, so that the intercept does not hide in them.
  for (Eigen::Index c = 2; c < x.cols(); ++c) {
    x.col(c).array() -= x.col(c).mean();
  }
  const LinearModel model = fit_linear_model(
      x,
      Eigen::Map<const Eigen::VectorXd>(
          values.data(), static_cast<Eigen::Index>(values.size())),
      outcome.kind == OutcomeKind::kYesNo ? ResidualSpread::kDiffers
                                          : ResidualSpread::kSame);
  if (!model.ok) return {};
  return {student_estimate(model.coefficients(1),
                           std::sqrt(model.covariance(1, 1)),
                           model.degrees,
                           confidence),
          model.coefficients.tail(static_cast<Eigen::Index>(columns.size()))};
}

// effect.h, Effect::films.
double films_uncertainty(const Sample& a,
                         const Sample& b,
                         const std::vector<int>& columns,
                         const Eigen::VectorXd& slopes,
                         double outcome_a,
                         double outcome_b) {
  double feeds = 0;
  for (Eigen::Index k = 0; k < slopes.size(); ++k) {
    const std::string& name =
        a.characteristics[at(columns[at(static_cast<int>(k))])];
    feeds +=
        std::abs(slopes(k)) * std::hypot(a.shared_in(name), b.shared_in(name));
  }
  return std::hypot(feeds, outcome_a, outcome_b);
}

// The intercept of the regression of differences on feed differences; takes
// the explained part off `differences.outcome`. Not ok with too few sets.
Estimate corrected_estimate(SetDifferences& differences,
                            const EffectOptions& options) {
  const auto n = static_cast<int>(differences.outcome.size());
  const auto p = static_cast<int>(differences.feed.cols());
  if (p == 0 || n < p + 1 + options.spare_pairs) return {};
  Eigen::MatrixXd x(n, p + 1);
  x << Eigen::VectorXd::Ones(n), differences.feed;
  Eigen::Map<Eigen::VectorXd> y(differences.outcome.data(), n);
  const LinearModel model = fit_linear_model(x, y);
  if (!model.ok) return {};
  y -= differences.feed * model.coefficients.tail(p);
  return student_estimate(model.coefficients(0),
                          std::sqrt(model.covariance(0, 0)),
                          model.degrees,
                          options.confidence);
}

void estimate_numbers(SetDifferences& differences,
                      const EffectOptions& options,
                      Effect& effect) {
  effect.uncorrected = paired_t(differences.outcome, options.confidence);
  effect.matched = corrected_estimate(differences, options);
  effect.corrected = effect.matched.ok;
  if (!effect.corrected) effect.matched = effect.uncorrected;
  effect.differences = differences.outcome;
  if (!effect.matched.ok) return;
  const double own = effect.matched.se;  // what more pairs make smaller
  if (effect.films > 0) {
    effect.matched = student_estimate(effect.matched.value,
                                      std::hypot(own, effect.films),
                                      effect.matched.degrees,
                                      options.confidence);
  }

  effect.hodges_lehmann =
      hodges_lehmann(effect.differences, options.confidence);
  BootstrapOptions bootstrap;
  bootstrap.confidence = options.confidence;
  bootstrap.resamples = options.resamples;
  bootstrap.seed = options.seed;
  effect.bootstrap = bootstrap_interval(
      effect.sets,
      [&](std::span<const int> which) {
        double sum = 0;
        for (const int i : which) sum += effect.differences[at(i)];
        return sum / static_cast<double>(which.size());
      },
      bootstrap);
  const SignedRank ranks = signed_rank(effect.differences);
  effect.signed_rank_p = signed_rank_p(ranks);
  effect.gamma = sensitivity_gamma(ranks, 1 - options.confidence);
  effect.detectable =
      effect.matched.se *
      detectable_noncentrality(effect.matched.degrees, options.aim());
  if (options.difference > 0 && own > 0) {
    const double sd = own * std::sqrt(effect.sets);
    effect.pairs_needed = paired_t_size(options.difference / sd, options.aim());
  }
}

PairedCounts count_pairs(const SetDifferences& differences) {
  PairedCounts counts;
  for (const auto& [a, b] : differences.sides) {
    (a > 0 ? (b > 0 ? counts.both : counts.only_a)
           : (b > 0 ? counts.only_b : counts.neither)) += 1;
  }
  return counts;
}

void estimate_shares(SetDifferences& differences,
                     const EffectOptions& options,
                     Effect& effect) {
  effect.differences = differences.outcome;
  effect.uncorrected = paired_t(differences.outcome, options.confidence);
  effect.matched = effect.uncorrected;
  if (!differences.one_to_one || effect.sets < 1) return;
  effect.counts = count_pairs(differences);
  effect.matched.ok = true;
  effect.matched.value = effect.counts.difference();
  effect.matched.interval =
      newcombe_paired_difference(effect.counts, options.confidence);
  effect.matched.p = mcnemar_exact_p(effect.counts);
  effect.gamma = sensitivity_gamma(effect.counts, 1 - options.confidence);
  effect.detectable = detectable_share(effect.counts, options.aim());
  if (options.difference > 0) {
    const double discordant = std::max(
        static_cast<double>(effect.counts.only_a + effect.counts.only_b) /
            effect.sets,
        options.difference);
    if (discordant <= 1) {
      effect.pairs_needed =
          mcnemar_size(discordant, options.difference, options.aim());
    }
  }
}

Share share_of(const Eigen::VectorXd& values) {
  Share share;
  for (const double x : values) {
    if (!std::isfinite(x)) continue;
    ++share.all;
    share.yes += x > 0;
  }
  return share;
}

double median_sigma(const Outcome& outcome, int a, int b) {
  std::vector<double> given;
  for (const int s : {a, b}) {
    for (const double sigma : outcome.sigmas[at(s)]) {
      if (sigma > 0) given.push_back(sigma);
    }
  }
  return given.empty() ? 0 : median(given);
}

}  // namespace

void EffectOptions::check() const {
  require_in_range(confidence, 0.5, 0.999, "confidence");
  require_in_range(power, 0.5, 0.999, "power");
  require_not_negative(difference, "difference");
  require_in_range(resamples, 100, 1000000, "resamples");
  require_in_range(spare_pairs, 1, 1000, "spare_pairs");
}

Effect estimate_effect(const std::vector<Sample>& samples,
                       const Matching& matching,
                       const FeedDistance& distance,
                       const Outcome& outcome,
                       int a,
                       int b,
                       const EffectOptions& options) {
  options.check();
  Effect effect;
  effect.outcome = outcome.name;
  effect.kind = outcome.kind;
  effect.a = a;
  effect.b = b;
  SetDifferences differences =
      set_differences(samples, matching, distance.used(), outcome, a, b);
  effect.sets = static_cast<int>(differences.outcome.size());
  const std::vector<double> all_a = known(outcome.values[at(a)]);
  const std::vector<double> all_b = known(outcome.values[at(b)]);
  effect.raw = welch_t(all_a, all_b, options.confidence);
  const Adjusted adjusted = adjusted_estimate(
      samples, distance.used(), outcome, a, b, options.confidence);
  effect.adjusted = adjusted.difference;
  if (outcome.kind == OutcomeKind::kNumber) {
    const auto own = [&](int s) {
      return outcome.shared.empty() ? 0 : outcome.shared[at(s)];
    };
    effect.films = films_uncertainty(samples[at(a)],
                                     samples[at(b)],
                                     distance.used(),
                                     adjusted.slopes,
                                     own(a),
                                     own(b));
  }
  effect.reading_sigma = median_sigma(outcome, a, b);
  if (outcome.kind == OutcomeKind::kNumber) {
    estimate_numbers(differences, options, effect);
    return effect;
  }
  effect.share_a = share_of(outcome.values[at(a)]);
  effect.share_b = share_of(outcome.values[at(b)]);
  effect.fisher_p = fisher_exact_p(effect.share_a, effect.share_b);
  effect.raw.ok = true;
  effect.raw.value = effect.share_a.value() - effect.share_b.value();
  effect.raw.interval =
      newcombe_difference(effect.share_a, effect.share_b, options.confidence);
  effect.raw.p = effect.fisher_p;
  estimate_shares(differences, options, effect);
  return effect;
}

void adjust_for_multiplicity(std::vector<Effect>& effects) {
  std::vector<double> p;
  for (const Effect& effect : effects) p.push_back(effect.matched.p);
  const std::vector<double> adjusted = holm_adjusted(p);
  for (std::size_t i = 0; i < effects.size(); ++i) {
    effects[i].p_holm = adjusted[i];
  }
}

}  // namespace evenfeed
