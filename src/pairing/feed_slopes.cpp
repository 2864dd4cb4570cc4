// SPDX-License-Identifier: MIT
#include "pairing/feed_slopes.h"

#include "stats/symmetric_eigen.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Cholesky>

namespace evenfeed {
namespace {

// Of the first (side > 0) or the second sample.
Eigen::RowVectorXd mean_of(const Eigen::MatrixXd& rows,
                           const Eigen::VectorXd& side,
                           double sign) {
  const Eigen::VectorXd in = (sign * side.array() > 0).cast<double>().matrix();
  return in.transpose() * rows / in.sum();
}

Eigen::MatrixXd centred(const Eigen::MatrixXd& rows,
                        const Eigen::VectorXd& side) {
  const Eigen::RowVectorXd first = mean_of(rows, side, 1);
  const Eigen::RowVectorXd second = mean_of(rows, side, -1);
  Eigen::MatrixXd result = rows;
  for (Eigen::Index i = 0; i < rows.rows(); ++i) {
    result.row(i) -= side(i) > 0 ? first : second;
  }
  return result;
}

// `total` less `noise`, direction by direction, with the guard of the header.
Eigen::MatrixXd launcher_part(const Eigen::MatrixXd& total,
                              const Eigen::MatrixXd& noise,
                              double least_share) {
  const Eigen::LLT<Eigen::MatrixXd> factor(total);
  const Eigen::MatrixXd lower = factor.matrixL();
  const Eigen::MatrixXd half = factor.matrixL().solve(noise);
  const Eigen::MatrixXd scaled =
      factor.matrixL().solve(half.transpose()).transpose();
  const SymmetricEigen eigen =
      symmetric_eigen((scaled + scaled.transpose()) / 2);
  const Eigen::VectorXd kept =
      (1 - eigen.values.array()).max(least_share).matrix();
  const Eigen::MatrixXd root = lower * eigen.vectors;
  return root * kept.asDiagonal() * root.transpose();
}

}  // namespace

double least_launcher_share(double feeds) {
  return std::min(0.5, 2 * std::sqrt(2 / feeds));
}

FeedSlopes fit_feed_slopes(const FeedsAndOutcomes& data, int spare) {
  FeedSlopes fit;
  const Eigen::Index n = data.feeds.rows();
  const Eigen::Index p = data.feeds.cols();
  const auto of_first = (data.side.array() > 0).count();
  fit.degrees = static_cast<double>(n - p - 2);
  if (p == 0 || fit.degrees < spare || of_first < 2 || n - of_first < 2) {
    return fit;
  }
  fit.centred = centred(data.feeds, data.side);
  fit.shift =
      (mean_of(data.feeds, data.side, 1) - mean_of(data.feeds, data.side, -1))
          .transpose();
  const Eigen::VectorXd y = centred(data.outcome, data.side);
  const auto within = static_cast<double>(n - 2);
  const Eigen::MatrixXd spread = fit.centred.transpose() * fit.centred / within;
  const Eigen::LLT<Eigen::MatrixXd> factor(spread);
  if (factor.info() != Eigen::Success || !(factor.rcond() > 1e-12)) return fit;
  fit.launcher_spread =
      launcher_part(spread, data.noise, least_launcher_share(within));
  const Eigen::LLT<Eigen::MatrixXd> launcher(fit.launcher_spread);
  if (launcher.info() != Eigen::Success) return fit;

  const Eigen::VectorXd together = fit.centred.transpose() * y / within;
  fit.plain = factor.solve(together);
  fit.launcher = launcher.solve(together);
  const Eigen::MatrixXd weighted = factor.solve(fit.centred.transpose());
  const Eigen::ArrayXd leverage =
      fit.centred.cwiseProduct(weighted.transpose()).rowwise().sum().array() /
      within;
  const auto in_first = static_cast<double>(of_first);
  const auto in_second = static_cast<double>(n - of_first);
  const Eigen::ArrayXd of_mean =
      (data.side.array() > 0)
          .select(Eigen::ArrayXd::Constant(n, 1 / in_first), 1 / in_second);
  const Eigen::ArrayXd free = (1 - leverage - of_mean).max(1e-6);
  fit.plain_residual = ((y - fit.centred * fit.plain).array() / free).matrix();
  fit.launcher_residual =
      ((y - fit.centred * fit.launcher).array() / free).matrix();
  fit.plain_influence =
      fit.plain_residual.asDiagonal() * weighted.transpose() / within;
  // What was taken off as noise makes the mean of feed times residual.
  const Eigen::RowVectorXd noise_part =
      ((spread - fit.launcher_spread) * fit.launcher).transpose();
  Eigen::MatrixXd moments = fit.launcher_residual.asDiagonal() * fit.centred;
  moments.rowwise() += noise_part;
  fit.launcher_influence =
      launcher.solve(moments.transpose()).transpose() / within;
  fit.ok = fit.plain.allFinite() && fit.launcher.allFinite();
  return fit;
}

}  // namespace evenfeed
