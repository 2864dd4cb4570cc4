// SPDX-License-Identifier: MIT
#include "quality/mcd.h"

#include "base/check.h"
#include "base/random.h"
#include "quality/mcd_factors.h"
#include "stats/covariance.h"
#include "stats/distributions.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include <fmt/format.h>

namespace evenfeed {
namespace {

struct Candidate {
  std::vector<int> rows;  // ascending
  double objective = std::numeric_limits<double>::infinity();
};

class FastMcd {
 public:
  FastMcd(const Eigen::MatrixXd& rows, int h, const McdOptions& options)
      : rows_(rows), h_(h), options_(options) {}

  Candidate search() const {
    std::vector<Candidate> finalists;
    RandomEngine engine = derived_engine(1999, "mcd starts");
    for (int i = 0; i < options_.starts; ++i) {
      Candidate one = start(engine);
      for (int step = 0; step < 2; ++step) one = concentrate(one);
      keep(std::move(one), finalists);
    }
    Candidate best;
    for (Candidate& one : finalists) {
      double before = std::numeric_limits<double>::infinity();
      while (one.objective < before) {
        before = one.objective;
        one = concentrate(one);
      }
      if (one.objective < best.objective || best.rows.empty()) best = one;
    }
    return best;
  }

 private:
  // p + 1 random vectors, more while they lie on a hyperplane.
  Candidate start(RandomEngine& engine) const {
    std::vector<int> order(static_cast<std::size_t>(rows_.rows()));
    std::iota(order.begin(), order.end(), 0);
    std::shuffle(order.begin(), order.end(), engine);
    auto size = static_cast<std::size_t>(rows_.cols() + 1);
    Candidate one;
    do {
      one.rows.assign(order.begin(),
                      order.begin() + static_cast<std::ptrdiff_t>(size));
    } while (!metric(one.rows).regular() &&
             ++size < static_cast<std::size_t>(h_));
    return one;
  }

  Mahalanobis metric(const std::vector<int>& which) const {
    const MeanCovariance fit = mean_covariance(rows_, which);
    return Mahalanobis(fit.mean, fit.covariance);
  }

  // The h vectors nearest to the centre of the given ones: never a larger
  // determinant (Theorem 1 of Rousseeuw and Van Driessen).
  Candidate concentrate(const Candidate& from) const {
    const Mahalanobis now = metric(from.rows);
    if (!now.regular()) {
      return {from.rows, -std::numeric_limits<double>::infinity()};
    }
    std::vector<std::pair<double, int>> order;
    for (int i = 0; i < rows_.rows(); ++i) {
      order.emplace_back(now.squared(rows_.row(i).transpose()), i);
    }
    std::nth_element(order.begin(), order.begin() + (h_ - 1), order.end());
    Candidate next;
    for (int i = 0; i < h_; ++i) {
      next.rows.push_back(order[static_cast<std::size_t>(i)].second);
    }
    std::sort(next.rows.begin(), next.rows.end());
    next.objective = metric(next.rows).log_determinant();
    return next;
  }

  void keep(Candidate one, std::vector<Candidate>& finalists) const {
    for (const Candidate& known : finalists) {
      if (known.rows == one.rows) return;
    }
    finalists.push_back(std::move(one));
    std::sort(finalists.begin(),
              finalists.end(),
              [](const Candidate& a, const Candidate& b) {
                return a.objective < b.objective;
              });
    if (finalists.size() > static_cast<std::size_t>(options_.finalists)) {
      finalists.pop_back();
    }
  }

  const Eigen::MatrixXd& rows_;
  int h_;
  const McdOptions& options_;
};

// The ordinary estimate of the vectors within the 97.5 % distance; not ok when
// they are too few for one.
void reweight(const Eigen::MatrixXd& rows, double share, McdFit& fit) {
  const int n = static_cast<int>(rows.rows());
  const int p = static_cast<int>(rows.cols());
  const Mahalanobis raw(fit.raw_centre, fit.raw_covariance);
  const double cut = chi_squared_quantile(0.975, p);
  std::vector<int> kept;
  fit.inside.assign(static_cast<std::size_t>(n), false);
  for (int i = 0; i < n; ++i) {
    if (raw.squared(rows.row(i).transpose()) >= cut) continue;
    fit.inside[static_cast<std::size_t>(i)] = true;
    kept.push_back(i);
  }
  fit.kept = static_cast<int>(kept.size());
  fit.ok = fit.kept > p;
  if (!fit.ok) {
    fit.message = "too few feeds lie near the robust centre";
    return;
  }
  const MeanCovariance good = mean_covariance(rows, kept);
  fit.centre = good.mean;
  fit.covariance = good.covariance *
                   mcd_consistency(p, static_cast<double>(fit.kept) / n) *
                   mcd_small_sample_reweighted(n, p, share);
}

}  // namespace

void McdOptions::check() const {
  require_in_range(share, 0.5, 1, "mcd share");
  require_in_range(starts, 1, 100000, "mcd starts");
  require_in_range(finalists, 1, 1000, "mcd finalists");
}

McdFit minimum_covariance_determinant(const Eigen::MatrixXd& rows,
                                      const McdOptions& options) {
  options.check();
  require(rows.allFinite(), "MCD of vectors that are not finite");
  McdFit fit;
  const int n = static_cast<int>(rows.rows());
  const int p = static_cast<int>(rows.cols());
  if (p < 1 || n < 2 * p + 1) {
    fit.message = fmt::format(
        "{} complete feeds are too few for {} characteristics, {} are needed",
        n,
        p,
        2 * p + 1);
    return fit;
  }
  fit.h = mcd_subset_size(n, p, options.share);
  // The formula for the small-sample bias breaks down before the data do.
  if (!(mcd_small_sample_raw(n, p, options.share) > 0 &&
        mcd_small_sample_reweighted(n, p, options.share) > 0)) {
    fit.message = fmt::format(
        "{} complete feeds are too few for {} characteristics", n, p);
    return fit;
  }
  const Candidate best = FastMcd(rows, fit.h, options).search();
  fit.best = best.rows;
  fit.objective = best.objective;
  if (!std::isfinite(best.objective)) {
    fit.message =
        "most feeds agree exactly in one combination of characteristics: a "
        "column in steps coarser than its spread, or one that follows from the "
        "others. Name the others with --characteristics";
    return fit;
  }
  const MeanCovariance core = mean_covariance(rows, fit.best);
  fit.raw_centre = core.mean;
  fit.raw_covariance = core.covariance *
                       mcd_consistency(p, static_cast<double>(fit.h) / n) *
                       mcd_small_sample_raw(n, p, options.share);
  reweight(rows, options.share, fit);
  return fit;
}

}  // namespace evenfeed
