// SPDX-License-Identifier: MIT
#include "quality/baseline.h"

#include "charts/heavy_tails.h"
#include "quality/mcd.h"
#include "stats/autocorrelation.h"
#include "stats/covariance.h"
#include "stats/distributions.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// What is believed of the tails counts for so many feeds: as few as a baseline
// has tell hardly anything about them.
constexpr double kBelievedRows = 50;

// Complete rows of the stretch, as indices into the table.
std::vector<int> complete_rows(const TrialTable& table,
                               const std::vector<int>& columns,
                               int first,
                               int last) {
  std::vector<int> rows;
  for (int i = first; i <= last; ++i) {
    const bool complete =
        std::all_of(columns.begin(), columns.end(), [&](int j) {
          return std::isfinite(table.values(i, j));
        });
    if (complete) rows.push_back(i);
  }
  return rows;
}

Eigen::MatrixXd pick(const Eigen::MatrixXd& values,
                     const std::vector<int>& rows,
                     const std::vector<int>& columns) {
  Eigen::MatrixXd out(static_cast<int>(rows.size()),
                      static_cast<int>(columns.size()));
  for (int i = 0; i < out.rows(); ++i) {
    for (int j = 0; j < out.cols(); ++j) {
      out(i, j) = values(rows[static_cast<std::size_t>(i)],
                         columns[static_cast<std::size_t>(j)]);
    }
  }
  return out;
}

// Limits of Cerioli (2010) for distances from a reweighted MCD that kept
// `kept` of its vectors: scaled beta for one it kept, scaled F for another.
double robust_limit(bool inside, int kept, int p, double probability) {
  const double w = kept;
  if (inside) {
    return (w - 1) * (w - 1) / w *
           beta_upper(probability, p / 2.0, (w - p - 1) / 2);
  }
  return (w + 1) / w * (w - 1) * p / (w - p) * f_upper(probability, p, w - p);
}

// Marks mis-feeds among the complete rows; false when there is no robust fit.
bool find_misfeeds(const Eigen::MatrixXd& complete,
                   const std::vector<int>& rows,
                   int first,
                   double probability,
                   double tails,
                   BaselineFit& out) {
  McdOptions options;
  // Even with 30 % mis-feeds and 8 characteristics one start in 25 is clean.
  options.starts = 150;
  const McdFit mcd = minimum_covariance_determinant(complete, options);
  const int p = static_cast<int>(complete.cols());
  if (!mcd.ok || mcd.kept <= p + 1) {
    out.baseline.message =
        mcd.message.empty() ? "too few feeds agree" : mcd.message;
    return false;
  }
  const Mahalanobis metric(mcd.centre, mcd.covariance);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    BaselineRow& row = out.rows[static_cast<std::size_t>(rows[i] - first)];
    row.robust_distance2 =
        metric.squared(complete.row(static_cast<int>(i)).transpose());
    row.limit =
        robust_limit(mcd.inside[i], mcd.kept, p, probability) *
        (std::isnan(tails) ? 1 : heavy_tail_factor(p, tails, probability));
    row.misfeed = row.robust_distance2 > row.limit;
  }
  return true;
}

// Mean, covariance and autocorrelation of the rows that are no mis-feeds.
void fill_moments(const TrialTable& table,
                  const std::vector<int>& good,
                  int first,
                  int last,
                  Baseline& baseline) {
  const MeanCovariance fit = mean_covariance(table.values, good);
  baseline.n = fit.n;
  baseline.mean = fit.mean;
  baseline.covariance = fit.covariance;
  baseline.lag1 = Eigen::VectorXd::Zero(table.columns());
  for (int j = 0; j < table.columns(); ++j) {
    std::vector<double> series(static_cast<std::size_t>(last - first + 1),
                               std::numeric_limits<double>::quiet_NaN());
    for (const int i : good) {
      series[static_cast<std::size_t>(i - first)] = table.values(i, j);
    }
    // One standard error is enough to believe it: limits that are too wide
    // cost less than a row of false alarms.
    baseline.lag1(j) =
        credible_autocorrelation(lag1_autocorrelation(series), fit.n, 1);
  }
}

void warn_about_singular(Baseline& baseline) {
  for (int j = 0; j < static_cast<int>(baseline.characteristics.size()); ++j) {
    if (std::find(baseline.joint.begin(), baseline.joint.end(), j) !=
        baseline.joint.end()) {
      continue;
    }
    baseline.warnings.push_back(fmt::format(
        "{} is left out of the joint charts: in the baseline it follows "
        "exactly from the others or does not vary",
        baseline.characteristics[static_cast<std::size_t>(j)]));
  }
}

// Columns of the stretch that can stand together in one covariance matrix.
std::vector<int> joint_columns(const TrialTable& table,
                               const std::vector<int>& rows) {
  if (rows.size() < 2) return {};
  return regular_columns(mean_covariance(table.values, rows).covariance);
}

}  // namespace

Eigen::VectorXd Baseline::sd() const {
  return covariance.diagonal().cwiseSqrt();
}

Eigen::MatrixXd Baseline::correlation() const {
  const Eigen::VectorXd s = sd();
  Eigen::MatrixXd out = covariance;
  for (int i = 0; i < out.rows(); ++i) {
    for (int j = 0; j < out.cols(); ++j) {
      const double scale = s(i) * s(j);
      out(i, j) = i == j ? 1 : scale > 0 ? out(i, j) / scale : 0;
    }
  }
  return out;
}

BaselineFit fit_baseline(const TrialTable& table,
                         int first,
                         int last,
                         double misfeed_probability,
                         double believed_tails) {
  BaselineFit out;
  out.baseline.characteristics = table.characteristics;
  out.rows.resize(static_cast<std::size_t>(std::max(0, last - first + 1)));
  for (BaselineRow& row : out.rows) {
    row.robust_distance2 = std::numeric_limits<double>::quiet_NaN();
  }
  std::vector<int> all(static_cast<std::size_t>(table.columns()));
  for (int j = 0; j < table.columns(); ++j) {
    all[static_cast<std::size_t>(j)] = j;
  }
  const std::vector<int> rows = complete_rows(table, all, first, last);
  if (rows.size() < all.size() + 4) {
    out.baseline.message = fmt::format(
        "{} complete feeds are too few for a baseline of {} characteristics, "
        "{} are needed",
        rows.size(),
        all.size(),
        all.size() + 4);
    return out;
  }
  out.baseline.joint = joint_columns(table, rows);
  if (out.baseline.joint.empty()) {
    out.baseline.message = "no characteristic varies";
    return out;
  }
  const Eigen::MatrixXd complete = pick(table.values, rows, out.baseline.joint);
  if (rows.size() < 3 * all.size() + 3) {
    out.baseline.warnings.push_back(fmt::format(
        "{} complete feeds are too few to tell mis-feeds from the rest",
        rows.size()));
  } else if (!find_misfeeds(complete,
                            rows,
                            first,
                            misfeed_probability,
                            believed_tails,
                            out)) {
    return out;
  }
  std::vector<int> good;
  for (const int i : rows) {
    if (!out.rows[static_cast<std::size_t>(i - first)].misfeed) {
      good.push_back(i);
    }
  }
  // Of coarse values nearly all can lie off the plane that a few agree on.
  if (good.size() <= out.baseline.joint.size() + 2) {
    out.baseline.message = "too few feeds agree";
    return out;
  }
  fill_moments(table, good, first, last, out.baseline);
  out.baseline.joint = regular_columns(out.baseline.covariance);
  if (!std::isnan(believed_tails)) {
    out.baseline.tails =
        degrees_from_kurtosis(pick(table.values, good, out.baseline.joint),
                              believed_tails,
                              kBelievedRows);
  }
  warn_about_singular(out.baseline);
  out.baseline.ok = !out.baseline.joint.empty();
  if (!out.baseline.ok) out.baseline.message = "too few feeds agree";
  return out;
}

}  // namespace evenfeed
