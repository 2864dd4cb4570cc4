// SPDX-License-Identifier: MIT
#include "calibration/bar_profile.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <Eigen/Cholesky>
#include <Eigen/Core>

namespace evenfeed {
namespace {

constexpr double kGuard_px = 1.0;  // blur on both sides of a step

double flank_px(double width_px) { return std::clamp(width_px, 2.5, 6.0); }

double phi(double z) { return 0.5 * std::erfc(-z / std::numbers::sqrt2); }
double density(double z) {
  return std::exp(-z * z / 2) / std::sqrt(2 * std::numbers::pi);
}

// Means over stretches of the cut by running sums.
class Means {
 public:
  Means(const std::vector<double>& grey, double step_px)
      : step_(step_px), middle_((static_cast<int>(grey.size()) - 1) / 2) {
    sums_.resize(grey.size() + 1, 0);
    for (std::size_t i = 0; i < grey.size(); ++i) {
      sums_[i + 1] = sums_[i] + grey[i];
    }
  }
  double operator()(double from_px, double to_px) const {
    const int last = static_cast<int>(sums_.size()) - 2;
    int a = static_cast<int>(std::ceil(from_px / step_ - 1e-9)) + middle_;
    int b = static_cast<int>(std::floor(to_px / step_ + 1e-9)) + middle_;
    if (b < a)
      a = b = static_cast<int>(std::lround((from_px + to_px) / 2 / step_)) +
              middle_;
    a = std::clamp(a, 0, last);
    b = std::clamp(b, a, last);
    return (sums_[b + 1] - sums_[a]) / (b - a + 1);
  }

 private:
  double step_;
  int middle_;
  std::vector<double> sums_;
};

// Unknowns of the fit: middle, width, blur, left, bar, right.
using Unknowns = Eigen::Matrix<double, 6, 1>;

struct Fit {
  const std::vector<double>& grey;
  double step_px;
  int from, to;  // samples used
  bool hold_width, hold_blur;

  double evaluate(const Unknowns& q,
                  Eigen::Matrix<double, 6, 6>* normal,
                  Unknowns* gradient) const {
    const int middle = (static_cast<int>(grey.size()) - 1) / 2;
    if (normal) normal->setZero();
    if (gradient) gradient->setZero();
    double sum = 0;
    for (int i = from; i <= to; ++i) {
      const double s = (i - middle) * step_px;
      const double z1 = (s - q[0] + q[1] / 2) / q[2];
      const double z2 = (s - q[0] - q[1] / 2) / q[2];
      const double p1 = phi(z1), p2 = phi(z2);
      const double error =
          q[3] + (q[4] - q[3]) * p1 + (q[5] - q[4]) * p2 - grey[i];
      sum += error * error;
      if (!normal) continue;
      const double d1 = (q[4] - q[3]) * density(z1) / q[2];
      const double d2 = (q[5] - q[4]) * density(z2) / q[2];
      Unknowns j;
      j << -d1 - d2, hold_width ? 0 : (d1 - d2) / 2,
          hold_blur ? 0 : -d1 * z1 - d2 * z2, 1 - p1, p1 - p2, p2;
      *normal += j * j.transpose();
      *gradient += j * error;
    }
    return sum;
  }
};

// False when the fit left the range in which it means anything.
bool levenberg(const Fit& fit, Unknowns& q, double& sum) {
  double damping = 1e-3;
  Eigen::Matrix<double, 6, 6> normal;
  Unknowns gradient;
  sum = fit.evaluate(q, &normal, &gradient);
  for (int i = 0; i < 25; ++i) {
    Eigen::Matrix<double, 6, 6> damped = normal;
    damped.diagonal() *= 1 + damping;
    damped.diagonal().array() += 1e-9;
    const Unknowns step = damped.ldlt().solve(-gradient);
    Unknowns next = q + step;
    next[1] = std::max(next[1], 0.3);
    next[2] = std::clamp(next[2], 0.35, 4.0);
    const double tried = fit.evaluate(next, nullptr, nullptr);
    if (!std::isfinite(tried)) return false;
    if (tried < sum) {
      q = next;
      damping = std::max(damping / 5, 1e-7);
      sum = fit.evaluate(q, &normal, &gradient);
      if (std::abs(step[0]) + std::abs(step[1]) < 1e-4) break;
    } else {
      damping *= 8;
      if (damping > 1e6) break;
    }
  }
  return true;
}

}  // namespace

BarProfile coarse_bar(const std::vector<double>& grey,
                      double step_px,
                      double width_px,
                      double reach_px) {
  BarProfile best;
  const double half_cut = (grey.size() - 1) / 2.0 * step_px;
  const double flank = flank_px(width_px);
  if (half_cut < width_px / 2 + kGuard_px + 1) return best;
  const Means mean(grey, step_px);
  const double inset = std::min(kGuard_px / 2, width_px / 4);
  for (double at = -reach_px; at <= reach_px + 1e-9; at += step_px) {
    const double low = at - width_px / 2, high = at + width_px / 2;
    BarProfile here;
    here.left = mean(low - kGuard_px - flank, low - kGuard_px);
    here.right = mean(high + kGuard_px, high + kGuard_px + flank);
    here.bar = mean(low + inset, high - inset);
    if (best.found && here.contrast() <= best.contrast()) continue;
    here.found = true;
    here.low_px = low;
    here.high_px = high;
    best = here;
  }
  return best;
}

BarProfile fit_bar(const std::vector<double>& grey,
                   double step_px,
                   const BarProfile& start,
                   double blur_px,
                   BarFit what) {
  BarProfile result = start;
  result.found = false;
  const double width = start.high_px - start.low_px;
  const double reach = kGuard_px + flank_px(width) + 1;
  const int last = static_cast<int>(grey.size()) - 1;
  const int middle = last / 2;
  Fit fit{
      grey,
      step_px,
      std::max(0, middle + static_cast<int>((start.low_px - reach) / step_px)),
      std::min(last,
               middle + static_cast<int>((start.high_px + reach) / step_px)),
      what == BarFit::kByWidth && width < kNarrowBar_px,
      what == BarFit::kBlurGiven || width < kNarrowBar_px};
  if (fit.to - fit.from < 10) return result;
  Unknowns q;
  q << start.middle_px(), width, blur_px, start.left, start.bar, start.right;
  double sum = 0;
  if (!levenberg(fit, q, sum)) return result;
  result.low_px = q[0] - q[1] / 2;
  result.high_px = q[0] + q[1] / 2;
  result.blur_px = q[2];
  result.left = q[3];
  result.bar = q[4];
  result.right = q[5];
  result.rms = std::sqrt(sum / (fit.to - fit.from + 1));
  result.found = q.allFinite();
  return result;
}

}  // namespace evenfeed
