// SPDX-License-Identifier: MIT
#include "detection/streak_fit.h"

#include "base/check.h"
#include "detection/streak_model.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Cholesky>
#include <Eigen/LU>

namespace evenfeed {
namespace {

using Normal = Eigen::Matrix<double, kStreakParameters, kStreakParameters>;

constexpr double kHuber = 2.5;  // in standard deviations of a pixel
constexpr int kFewRounds = 4;   // what becomes shorter has done so by then

struct Prior {
  StreakVector mean;
  Normal weight = Normal::Zero();  // inverse covariance
};

// The quantities a small or hidden ball leaves open are held near plausible
// values; a well seen ball outweighs them by far.
Prior prior_around(const Streak& start,
                   double brightness,
                   const ShadePrior& shade,
                   const StreakFitOptions& options) {
  Prior prior;
  prior.mean = as_vector(start);
  const auto hold = [&](int i, double sd) {
    prior.weight(i, i) = 1 / (sd * sd);
  };
  hold(kStreakHalf, start.radius_px + start.half_px.norm());
  hold(kStreakHalf + 1, start.radius_px + start.half_px.norm());
  hold(kStreakRadius, options.radius_spread * start.radius_px);
  hold(kStreakEdge, shade.edge_sd_px);
  const Eigen::Vector4d parts = brightness * shade.parts;
  const double sd = brightness * shade.parts_sd + 1;
  const Eigen::Matrix4d covariance =
      sd * sd * Eigen::Matrix4d::Identity() +
      shade.scale_sd * shade.scale_sd * parts * parts.transpose();
  prior.weight.block<4, 4>(kStreakAmbient, kStreakAmbient) =
      covariance.inverse();
  return prior;
}

// How little a step is trusted, by how well the last were foreseen (H. B.
// Nielsen, Damping parameter in Marquardt's method, IMM-REP-1999-05, Technical
// University of Denmark). With fixed factors the steps of noisy balls were too
// far and too short in turn.
class Damping {
 public:
  double value() const { return value_; }
  bool hopeless() const { return value_ > 1e6; }
  /// `share`: of the gain that was foreseen.
  void worked(double share) {
    const double off = 2 * share - 1;
    value_ = std::max(value_ * std::max(1.0 / 3, 1 - off * off * off), 1e-7);
    growth_ = 2;
  }
  void failed() {
    value_ *= growth_;
    growth_ *= 2;
  }
  void left_the_possible() { value_ *= 16; }

 private:
  double value_ = 1e-3;
  double growth_ = 2;
};

struct Evaluation {
  StreakPicture picture;
  Eigen::VectorXf residual;  // seen - predicted
  Eigen::VectorXf weight;    // Huber weight / pixel variance
  double cost = 0;
};

class Solver {
 public:
  Solver(const StreakPatch& patch,
         const Streak& start,
         double brightness,
         const ShadePrior& shade,
         const StreakFitOptions& options)
      : patch_(patch), options_(options), outline_(start.outline) {
    const int pixels = patch.seen.rows * patch.seen.cols;
    seen_.resize(pixels);
    expected_.resize(pixels);
    for (int row = 0; row < patch.seen.rows; ++row) {
      std::copy_n(patch.seen.ptr<float>(row),
                  patch.seen.cols,
                  seen_.data() + static_cast<long>(row) * patch.seen.cols);
      std::copy_n(patch.expected.ptr<float>(row),
                  patch.seen.cols,
                  expected_.data() + static_cast<long>(row) * patch.seen.cols);
    }
    contrast_ = brightness - mean_expected(start);
    prior_ = prior_around(start, brightness, shade, options);
    steps_ = sweep_steps(start);
    const double model = options.model_part * contrast_;
    per_sd_.resize(pixels);
    for (int row = 0; row < patch.seen.rows; ++row) {
      const auto* sigma = patch.sigma.ptr<float>(row);
      for (int column = 0; column < patch.seen.cols; ++column) {
        per_sd_[static_cast<long>(row) * patch.seen.cols + column] =
            1 / std::sqrt(sigma[column] * sigma[column] +
                          static_cast<float>(model * model));
      }
    }
  }

  StreakFit run(const Streak& start);

 private:
  double mean_expected(const Streak& streak) const;
  void evaluate(const StreakVector& at, Evaluation& out) const;
  Normal information(const Evaluation& at) const;
  StreakVector slope(const StreakVector& at, const Evaluation& there) const;
  bool possible(const StreakVector& at) const;
  void finish(const StreakVector& at, const Evaluation& there, StreakFit& fit);

  const StreakPatch& patch_;
  const StreakFitOptions& options_;
  Eigen::Matrix2d outline_;
  Eigen::VectorXf seen_;
  Eigen::VectorXf expected_;
  Prior prior_;
  double contrast_ = 0;
  Eigen::ArrayXf per_sd_;  // 1 / the standard deviation of each pixel
  int steps_ = 4;
};

double Solver::mean_expected(const Streak& streak) const {
  const int u = std::clamp(
      static_cast<int>(std::lround(streak.centre_px.x())) - patch_.origin.x,
      0,
      patch_.expected.cols - 1);
  const int v = std::clamp(
      static_cast<int>(std::lround(streak.centre_px.y())) - patch_.origin.y,
      0,
      patch_.expected.rows - 1);
  const int reach = std::max(1, static_cast<int>(streak.radius_px / 2));
  double sum = 0;
  int count = 0;
  for (int row = std::max(0, v - reach);
       row <= std::min(patch_.expected.rows - 1, v + reach);
       ++row) {
    for (int column = std::max(0, u - reach);
         column <= std::min(patch_.expected.cols - 1, u + reach);
         ++column) {
      sum += static_cast<double>(patch_.expected.at<float>(row, column));
      ++count;
    }
  }
  return sum / count;
}

void Solver::evaluate(const StreakVector& at, Evaluation& out) const {
  out.picture.render(patch_, as_streak(at, outline_), steps_);
  out.residual = seen_ - out.picture.value;
  constexpr auto kKnee = static_cast<float>(kHuber);
  constexpr float kTiny = 1e-6F;  // whose share of itself is 1 as well
  const Eigen::ArrayXf size = out.residual.array().abs() * per_sd_;
  const Eigen::ArrayXf near = size.min(kKnee);
  out.weight = (near + kTiny) / (size + kTiny) * per_sd_.square();
  const double cost = (near * (2 * size - near)).cast<double>().sum();
  out.cost = cost + (at - prior_.mean).dot(prior_.weight * (at - prior_.mean));
}

Normal Solver::information(const Evaluation& at) const {
  const StreakPicture& picture = at.picture;
  const auto jacobian =
      picture.jacobian.middleRows(picture.first, picture.count);
  const StreakJacobian weighted =
      jacobian.array().colwise() *
      at.weight.segment(picture.first, picture.count).array();
  Normal normal = (weighted.transpose() * jacobian).cast<double>();
  normal += prior_.weight;
  return normal;
}

StreakVector Solver::slope(const StreakVector& at,
                           const Evaluation& there) const {
  const StreakPicture& picture = there.picture;
  const Eigen::VectorXf weighted =
      there.weight.segment(picture.first, picture.count).array() *
      there.residual.segment(picture.first, picture.count).array();
  StreakVector slope =
      (picture.jacobian.middleRows(picture.first, picture.count).transpose() *
       weighted)
          .cast<double>();
  slope -= prior_.weight * (at - prior_.mean);
  return slope;
}

bool Solver::possible(const StreakVector& at) const {
  return at.allFinite() && at(kStreakRadius) > 1 && at(kStreakEdge) > 0.4 &&
         at(kStreakEdge) < 6 &&
         at(kStreakRadius) < 4 * prior_.mean(kStreakRadius) &&
         at.segment<2>(kStreakHalf).norm() < 500;
}

StreakFit Solver::run(const Streak& start) {
  StreakFit fit;
  StreakVector at = as_vector(start);
  Evaluation here, trial;
  evaluate(at, here);
  Damping damping;
  bool settled = false;  // what still changes is the length of a short streak
  for (; fit.iterations < options_.max_iterations; ++fit.iterations) {
    Normal normal = information(here);
    const StreakVector damped = damping.value() * normal.diagonal();
    normal.diagonal() += damped;
    const Eigen::LDLT<Normal> solver(normal);
    if (solver.info() != Eigen::Success) break;
    const StreakVector pull = slope(at, here);
    const StreakVector step = solver.solve(pull);
    const StreakVector next = at + step;
    if (!possible(next)) {
      damping.left_the_possible();
      if (damping.hopeless()) break;
      continue;
    }
    evaluate(next, trial);
    if (trial.cost < here.cost) {
      const double foreseen = step.dot(pull + damped.cwiseProduct(step));
      damping.worked((here.cost - trial.cost) / foreseen);
      // The cost is in units of chi-square: a gain far below 1 moves the
      // centre by far less than its standard deviation.
      const bool done =
          here.cost - trial.cost < 0.2 + 3e-5 * here.cost ||
          (fit.iterations >= kFewRounds &&
           2 * next.segment<2>(kStreakHalf).norm() > options_.longest_px);
      settled = here.cost - trial.cost < 1 + 1e-3 * here.cost;
      at = next;
      std::swap(here, trial);
      if (!done) continue;
      fit.converged = true;
      break;
    }
    damping.failed();
    // No lower cost nearby: this is the minimum, to the precision of floats.
    if (step.head<2>().cwiseAbs().maxCoeff() < 0.01 || damping.hopeless()) {
      fit.converged = true;
      break;
    }
  }
  fit.converged = fit.converged || settled;
  if (fit.converged) {
    finish(at, here, fit);
  } else {
    fit.message = "no convergence";
  }
  return fit;
}

void Solver::finish(const StreakVector& at,
                    const Evaluation& there,
                    StreakFit& fit) {
  fit.streak = as_streak(at, outline_);
  fit.pixels = static_cast<int>(seen_.size());
  double weights = 0, squares = 0, weighted_squares = 0, covered = 0,
         background = 0, hidden = 0, steps = 0;
  for (long i = 0; i < seen_.size(); ++i) {
    const double residual = there.residual[i];
    const double cover = there.picture.cover[i];
    if (cover > 0) {
      squares += residual * residual;
      weights += 1;
      weighted_squares += there.weight[i] * residual * residual;
    }
    covered += cover;
    const double expected_step = there.picture.value[i] - expected_[i];
    steps += expected_step;
    if (std::abs(expected_step) > 0.3 * std::abs(contrast_) &&
        std::abs(residual + expected_step) < 0.5 * std::abs(expected_step)) {
      hidden += cover;
    }
    background += cover * static_cast<double>(expected_[i]);
  }
  if (weights < 2 * kStreakParameters || covered <= 0) {
    fit.converged = false;
    fit.message = "the disc lies outside the patch";
    return;
  }
  fit.cost = there.cost;
  fit.hidden_part = hidden / covered;
  fit.rms = std::sqrt(squares / weights);
  fit.contrast = steps / covered;
  fit.brightness = (background + steps) / covered;
  const Normal covariance = information(there).inverse();
  const double excess =
      std::max(1.0, weighted_squares / (weights - kStreakParameters));
  fit.covariance_px2 = covariance.topLeftCorner<2, 2>() * excess;
  if (!covariance.allFinite() || covariance(0, 0) <= 0 ||
      covariance(1, 1) <= 0) {
    fit.converged = false;
    fit.message = "the centre is not determined";
    return;
  }
  fit.message = "converged";
}

}  // namespace

void StreakFitOptions::check() const {
  require_in_range(model_part, 0, 1, "model_part");
  require_in_range(radius_spread, 0.001, 10, "radius_spread");
  require_in_range(max_iterations, 1, 1000, "max_iterations");
  require_positive(longest_px, "longest_px");
}

StreakFit fit_streak(const StreakPatch& patch,
                     const Streak& start,
                     double brightness,
                     const ShadePrior& shade,
                     const StreakFitOptions& options,
                     const std::optional<Streak>& from) {
  StreakFit fit;
  if (patch.seen.rows < 5 || patch.seen.cols < 5) {
    fit.message = "the patch is too small";
    return fit;
  }
  Streak lit = start;
  lit.ambient = brightness * shade.parts(0);
  lit.lamp = brightness * shade.parts.tail<3>();
  lit.edge_px = shade.edge_px;
  return Solver(patch, lit, brightness, shade, options).run(from.value_or(lit));
}

}  // namespace evenfeed
