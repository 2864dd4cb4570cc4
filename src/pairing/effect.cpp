// SPDX-License-Identifier: MIT
#include "pairing/effect.h"

#include "base/as_index.h"
#include "base/check.h"
#include "pairing/feed_slopes.h"
#include "pairing/film_shift.h"
#include "pairing/films_apart.h"
#include "pairing/paired_shares.h"
#include "stats/descriptive.h"
#include "stats/multiplicity.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {
namespace {

// Mean differences left in the feeds of the sets that matter, in sd (Austin
// 2009, Statistics in Medicine 28:3083).
constexpr double kMatters = 0.1;
// A correction of less than so many standard errors may be left out: a test at
// 5 % rejects 5.7 % then.
constexpr double kSmallCorrection = 0.25;

// Feeds of both samples whose outcome is known: a's, then b's. In sd of the
// feeds, so that no rank depends on units.
struct KnownFeeds {
  FeedsAndOutcomes data;
  std::vector<int> set;  // of the matching; -1: in none
  Eigen::VectorXd sd;
  int of_a = 0;
  int of_b = 0;
};

// Which set each feed of sample s is in; -1: in none.
std::vector<int> sets_of(const Matching& matching, int s, int feeds) {
  std::vector<int> result(as_index(feeds), -1);
  for (std::size_t g = 0; g < matching.sets.size(); ++g) {
    for (const int i : matching.sets[g].members[as_index(s)]) {
      result[as_index(i)] = static_cast<int>(g);
    }
  }
  return result;
}

Eigen::MatrixXd measurement_of(const Sample& sample,
                               int feed,
                               const std::vector<int>& columns) {
  const auto p = static_cast<Eigen::Index>(columns.size());
  Eigen::VectorXd sigma(p);
  Eigen::Index x = -1;
  Eigen::Index y = -1;
  for (Eigen::Index k = 0; k < p; ++k) {
    const int column = columns[static_cast<std::size_t>(k)];
    sigma(k) = sample.sigmas(feed, column);
    if (sample.characteristics[as_index(column)] == "x_mm") x = k;
    if (sample.characteristics[as_index(column)] == "y_mm") y = k;
  }
  Eigen::MatrixXd covariance = sigma.array().square().matrix().asDiagonal();
  if (x >= 0 && y >= 0) {
    covariance(x, y) = covariance(y, x) =
        sample.rho_xy[as_index(feed)] * sigma(x) * sigma(y);
  }
  return covariance;
}

KnownFeeds known_feeds(const std::vector<Sample>& samples,
                       const Matching& matching,
                       const FeedDistance& distance,
                       const Outcome& outcome,
                       int a,
                       int b) {
  KnownFeeds known;
  const std::vector<int>& columns = distance.covariates();
  const auto p = static_cast<Eigen::Index>(columns.size());
  std::vector<double> values;
  std::vector<double> side;
  std::vector<Eigen::RowVectorXd> rows;
  known.data.noise = Eigen::MatrixXd::Zero(p, p);
  for (const int s : {a, b}) {
    const Sample& sample = samples[as_index(s)];
    const std::vector<int> sets = sets_of(matching, s, sample.size());
    for (int i = 0; i < sample.size(); ++i) {
      const double value = outcome.values[as_index(s)](i);
      if (!std::isfinite(value)) continue;
      values.push_back(value);
      side.push_back(s == a ? 1 : -1);
      rows.emplace_back(sample.values(i, columns));
      known.set.push_back(sets[as_index(i)]);
      known.data.noise += measurement_of(sample, i, columns);
      (s == a ? known.of_a : known.of_b) += 1;
    }
  }
  const auto n = static_cast<Eigen::Index>(values.size());
  known.data.outcome = Eigen::Map<const Eigen::VectorXd>(values.data(), n);
  known.data.side = Eigen::Map<const Eigen::VectorXd>(side.data(), n);
  known.data.feeds.resize(n, p);
  for (Eigen::Index i = 0; i < n; ++i) {
    known.data.feeds.row(i) = rows[static_cast<std::size_t>(i)];
  }
  known.sd = distance.pooled_sd()(columns);
  const Eigen::VectorXd scale = known.sd.cwiseInverse();
  known.data.feeds = known.data.feeds * scale.asDiagonal();
  known.data.noise = scale.asDiagonal() * known.data.noise *
                     scale.asDiagonal() /
                     static_cast<double>(std::max<Eigen::Index>(n, 1));
  return known;
}

// The sets with the outcome known on both sides, and what a feed counts for in
// their mean difference: the sets alike, within one its members alike.
struct CountedSets {
  int sets = 0;
  std::vector<int> number;  // per feed: which of the sets; -1: none
  Eigen::VectorXd weight;   // per feed; a's sum to 1, b's to -1
  Eigen::VectorXd difference;
  bool one_to_one = true;
};

CountedSets counted_sets(const KnownFeeds& known, std::size_t sets) {
  std::vector<int> of_a(sets, 0);
  std::vector<int> of_b(sets, 0);
  const auto n = static_cast<Eigen::Index>(known.set.size());
  const auto each = [&](const auto& visit) {
    for (Eigen::Index i = 0; i < n; ++i) {
      const int set = known.set[static_cast<std::size_t>(i)];
      if (set >= 0) visit(i, as_index(set), known.data.side(i) > 0);
    }
  };
  each([&](Eigen::Index, std::size_t set, bool first) {
    (first ? of_a : of_b)[set] += 1;
  });
  CountedSets counted;
  std::vector<int> number(sets, -1);
  for (std::size_t g = 0; g < sets; ++g) {
    if (of_a[g] == 0 || of_b[g] == 0) continue;
    number[g] = counted.sets++;
    counted.one_to_one = counted.one_to_one && of_a[g] == 1 && of_b[g] == 1;
  }
  counted.number.assign(known.set.size(), -1);
  counted.weight = Eigen::VectorXd::Zero(n);
  counted.difference = Eigen::VectorXd::Zero(counted.sets);
  each([&](Eigen::Index i, std::size_t set, bool first) {
    if (number[set] < 0) return;
    const double share = first ? 1.0 / of_a[set] : -1.0 / of_b[set];
    counted.number[static_cast<std::size_t>(i)] = number[set];
    counted.weight(i) = share / counted.sets;
    counted.difference(number[set]) += share * known.data.outcome(i);
  });
  return counted;
}

struct Correction {
  FeedSlopes slopes;
  FilmShift films;
  double uncertain = 0;  // Effect::films
};

Correction fit_correction(const KnownFeeds& known,
                          const Eigen::MatrixXd& films_apart,
                          double outcome_apart,
                          const EffectOptions& options) {
  Correction correction;
  correction.uncertain = outcome_apart;
  correction.slopes = fit_feed_slopes(known.data, options.spare_feeds);
  if (!correction.slopes.ok) return correction;
  correction.films = film_shift(films_apart,
                                correction.slopes.launcher_spread,
                                options.launcher_shift_sd);
  const Eigen::VectorXd& slope = correction.slopes.launcher;
  const double variance = slope.dot(correction.films.covariance * slope);
  correction.uncertain =
      std::sqrt(outcome_apart * outcome_apart + std::max(0.0, variance));
  return correction;
}

struct Corrected {
  IntervalEstimate own;  // without what the films leave uncertain
  double moved_by = 0;
};

// The mean difference of `counted`, corrected; effect.h. With t its difference
// of the measured feeds, `shift` that of all feeds, K what of it is the
// launcher's:
//   difference - plain' (t - shift) - launcher' K shift
Corrected corrected_sets(const KnownFeeds& known,
                         const CountedSets& counted,
                         const Correction& correction,
                         const EffectOptions& options) {
  Corrected result;
  if (counted.sets < 2) return result;
  const FeedSlopes& slopes = correction.slopes;
  const FilmShift& films = correction.films;
  const Eigen::VectorXd left =
      known.data.feeds.transpose() * counted.weight - slopes.shift;
  const Eigen::VectorXd moved = films.launcher * slopes.shift;
  const Eigen::VectorXd by_shift =
      slopes.plain - films.launcher.transpose() * slopes.launcher;
  result.moved_by = -slopes.plain.dot(left) - slopes.launcher.dot(moved);
  const double mean = counted.difference.mean();

  // What each set, and each feed that is in none, moves the estimate by.
  const double n = counted.sets;
  const Eigen::VectorXd within =
      known.data.outcome - known.data.feeds * slopes.plain;
  Eigen::VectorXd of_set = Eigen::VectorXd::Zero(counted.sets);
  double of_rest = 0;
  for (Eigen::Index i = 0; i < within.size(); ++i) {
    const int set = counted.number[static_cast<std::size_t>(i)];
    if (set >= 0) of_set(set) += counted.weight(i) * within(i);
  }
  of_set.array() -= of_set.mean();
  of_set *= std::sqrt(n / (n - 1));
  for (Eigen::Index i = 0; i < within.size(); ++i) {
    const double share =
        known.data.side(i) > 0 ? 1.0 / known.of_a : -1.0 / known.of_b;
    const double moves = -slopes.plain_influence.row(i).dot(left) -
                         slopes.launcher_influence.row(i).dot(moved) +
                         share * slopes.centred.row(i).dot(by_shift);
    const int set = counted.number[static_cast<std::size_t>(i)];
    if (set >= 0) {
      of_set(set) += moves;
    } else {
      of_rest += moves * moves;
    }
  }
  result.own = student_estimate(mean + result.moved_by,
                                std::sqrt(of_set.squaredNorm() + of_rest),
                                n - 1,
                                options.confidence);
  return result;
}

// All feeds, without pairs: the means' difference less launcher' K shift.
IntervalEstimate corrected_all(const KnownFeeds& known,
                               const Correction& correction,
                               double raw,
                               const EffectOptions& options) {
  const FeedSlopes& slopes = correction.slopes;
  const FilmShift& films = correction.films;
  const Eigen::VectorXd moved = films.launcher * slopes.shift;
  const Eigen::VectorXd by_shift =
      slopes.launcher - films.launcher.transpose() * slopes.launcher;
  double square = 0;
  for (Eigen::Index i = 0; i < slopes.centred.rows(); ++i) {
    const double share =
        known.data.side(i) > 0 ? 1.0 / known.of_a : -1.0 / known.of_b;
    const double moves = share * (slopes.launcher_residual(i) +
                                  slopes.centred.row(i).dot(by_shift)) -
                         slopes.launcher_influence.row(i).dot(moved);
    square += moves * moves;
  }
  return student_estimate(raw - slopes.launcher.dot(moved),
                          std::sqrt(square),
                          slopes.degrees,
                          options.confidence);
}

// Wider by what the films leave uncertain; the degrees of freedom are those of
// the sum (Satterthwaite 1946, Biometrics Bulletin 2:110).
IntervalEstimate with_films(const IntervalEstimate& own,
                            double films,
                            double confidence) {
  if (!own.ok || films == 0) return own;
  const double se = std::hypot(own.se, films);
  const double degrees =
      own.se > 0 ? own.degrees * std::pow(se / own.se, 4) : own.degrees;
  return student_estimate(own.value, se, degrees, confidence);
}

// Covariance of the difference of the two films' errors, in sd of the feeds.
Eigen::MatrixXd films_apart_in_sd(const Sample& a,
                                  const Sample& b,
                                  const std::vector<int>& columns,
                                  const Eigen::VectorXd& sd) {
  std::vector<std::string> names;
  for (const int k : columns) names.push_back(a.characteristics[as_index(k)]);
  const Eigen::VectorXd scale = sd.cwiseInverse();
  return scale.asDiagonal() * films_apart(a.shared, b.shared, names) *
         scale.asDiagonal();
}

std::vector<FeedShift> feed_shifts(const std::vector<int>& columns,
                                   const Correction& correction,
                                   const Eigen::VectorXd& sd) {
  std::vector<FeedShift> shifts;
  const FeedSlopes& slopes = correction.slopes;
  const FilmShift& films = correction.films;
  const Eigen::VectorXd launcher = films.launcher * slopes.shift;
  for (Eigen::Index k = 0; k < sd.size(); ++k) {
    shifts.push_back(
        {columns[static_cast<std::size_t>(k)],
         sd(k) * slopes.shift(k),
         sd(k) * launcher(k),
         sd(k) * std::sqrt(std::max(0.0, films.covariance(k, k)))});
  }
  return shifts;
}

// Whether the feeds of the sets differ by so much that it matters.
bool feeds_differ(const KnownFeeds& known, const CountedSets& counted) {
  if (counted.sets == 0) return false;
  const Eigen::VectorXd left = known.data.feeds.transpose() * counted.weight;
  return (left.array().abs() > kMatters).any();
}

PairedCounts count_pairs(const KnownFeeds& known, const CountedSets& counted) {
  std::vector<std::pair<bool, bool>> yes(as_index(counted.sets));
  for (std::size_t i = 0; i < counted.number.size(); ++i) {
    if (counted.number[i] < 0) continue;
    const auto row = static_cast<Eigen::Index>(i);
    auto& [of_a, of_b] = yes[as_index(counted.number[i])];
    (known.data.side(row) > 0 ? of_a : of_b) = known.data.outcome(row) > 0;
  }
  PairedCounts counts;
  for (const auto& [a, b] : yes) {
    (a ? (b ? counts.both : counts.only_a)
       : (b ? counts.only_b : counts.neither)) += 1;
  }
  return counts;
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
    for (const double sigma : outcome.sigmas[as_index(s)]) {
      if (sigma > 0) given.push_back(sigma);
    }
  }
  return given.empty() ? 0 : median(given);
}

double outcome_apart(const Outcome& outcome,
                     const std::vector<Sample>& samples,
                     int a,
                     int b) {
  if (outcome.shared.empty()) return 0;
  const double told = films_apart(samples[as_index(a)].shared,
                                  samples[as_index(b)].shared,
                                  {outcome.name})(0, 0);
  // Films that tell nothing of their returns: what is known of them otherwise.
  return told > 0 ? std::sqrt(told)
                  : std::hypot(outcome.shared[as_index(a)],
                               outcome.shared[as_index(b)]);
}

void count_yes_and_no(const EffectOptions& options, Effect& effect) {
  effect.exact = true;
  effect.corrected = false;
  effect.matched = paired_share_difference(effect.counts, options.confidence);
  effect.detectable = detectable_share(effect.counts, options.aim());
  effect.pairs_needed =
      share_pairs_needed(effect.counts, options.difference, options.aim());
}

void say_what_was_seen(const IntervalEstimate& own,
                       const EffectOptions& options,
                       Effect& effect) {
  if (!effect.matched.ok) return;
  effect.detectable =
      effect.matched.se *
      detectable_noncentrality(effect.matched.degrees, options.aim());
  if (options.difference > 0 && own.se > 0) {
    // What more pairs make smaller.
    const double sd = own.se * std::sqrt(effect.sets);
    effect.pairs_needed = paired_t_size(options.difference / sd, options.aim());
  }
}

Effect described(const Outcome& outcome, int a, int b) {
  Effect effect;
  effect.outcome = outcome.name;
  effect.kind = outcome.kind;
  effect.a = a;
  effect.b = b;
  effect.reading_sigma = median_sigma(outcome, a, b);
  if (outcome.kind == OutcomeKind::kYesNo) {
    effect.share_a = share_of(outcome.values[as_index(a)]);
    effect.share_b = share_of(outcome.values[as_index(b)]);
  }
  return effect;
}

// The answer: corrected where it can be, counted where that says the same.
void choose_estimate(const KnownFeeds& known,
                     const CountedSets& counted,
                     const Corrected& corrected,
                     const EffectOptions& options,
                     Effect& effect) {
  const IntervalEstimate own =
      effect.corrected
          ? corrected.own
          : paired_t({counted.difference.data(), as_index(counted.sets)},
                     options.confidence);
  effect.matched = with_films(own, effect.films, options.confidence);
  const bool yes_no_pairs = effect.kind == OutcomeKind::kYesNo &&
                            counted.one_to_one && counted.sets > 0;
  if (yes_no_pairs) effect.counts = count_pairs(known, counted);
  const bool even = effect.corrected ? std::abs(corrected.moved_by) <=
                                           kSmallCorrection * corrected.own.se
                                     : !effect.uneven;
  if (yes_no_pairs && even && effect.films == 0) {
    count_yes_and_no(options, effect);
  } else {
    say_what_was_seen(own, options, effect);
  }
}

}  // namespace

void EffectOptions::check() const {
  require_in_range(confidence, 0.5, 0.999, "confidence");
  require_in_range(power, 0.5, 0.999, "power");
  require_not_negative(difference, "difference");
  require_in_range(spare_feeds, 1, 1000, "spare_feeds");
  require_in_range(launcher_shift_sd, 0.01, 100, "launcher_shift_sd");
}

Effect estimate_effect(const std::vector<Sample>& samples,
                       const Matching& matching,
                       const FeedDistance& distance,
                       const Outcome& outcome,
                       int a,
                       int b,
                       const EffectOptions& options) {
  options.check();
  Effect effect = described(outcome, a, b);
  const KnownFeeds known =
      known_feeds(samples, matching, distance, outcome, a, b);
  effect.known_a = known.of_a;
  effect.known_b = known.of_b;
  if (known.of_a == 0 || known.of_b == 0) return effect;
  effect.raw = known.data.outcome.head(known.of_a).mean() -
               known.data.outcome.tail(known.of_b).mean();
  const CountedSets counted = counted_sets(known, matching.sets.size());
  effect.sets = counted.sets;

  const Eigen::MatrixXd apart = films_apart_in_sd(samples[as_index(a)],
                                                  samples[as_index(b)],
                                                  distance.covariates(),
                                                  known.sd);
  const Correction correction = fit_correction(
      known, apart, outcome_apart(outcome, samples, a, b), options);
  effect.films = correction.uncertain;
  Corrected corrected;
  if (correction.slopes.ok) {
    effect.shifts = feed_shifts(distance.covariates(), correction, known.sd);
    effect.all_feeds =
        with_films(corrected_all(known, correction, effect.raw, options),
                   effect.films,
                   options.confidence);
    corrected = corrected_sets(known, counted, correction, options);
  }
  effect.corrected = corrected.own.ok;
  effect.uneven =
      !effect.corrected && (feeds_differ(known, counted) || !apart.isZero(0));
  choose_estimate(known, counted, corrected, options, effect);
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
