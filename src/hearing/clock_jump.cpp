// SPDX-License-Identifier: MIT
#include "hearing/clock_jump.h"

#include <algorithm>

#include <Eigen/Core>

namespace evenfeed {
namespace {

constexpr std::size_t kFewestAside = 3;  // on either side of a jump

// Takes the weighted straight line out of a row of values.
class LineOut {
 public:
  LineOut(const Eigen::VectorXd& t_s, const Eigen::VectorXd& weight)
      : weight_(weight), about_s_(t_s) {
    about_s_.array() -= mean(t_s);
    spread_ = weight_.dot(about_s_.cwiseAbs2());
  }
  Eigen::VectorXd operator()(const Eigen::VectorXd& y) const {
    const double slope =
        spread_ > 0 ? weight_.cwiseProduct(about_s_).dot(y) / spread_ : 0;
    return (y - slope * about_s_).array() - mean(y);
  }

 private:
  double mean(const Eigen::VectorXd& y) const {
    return weight_.dot(y) / weight_.sum();
  }
  Eigen::VectorXd weight_;
  Eigen::VectorXd about_s_;
  double spread_ = 0;
};

}  // namespace

ClockJump likeliest_jump(std::vector<LeftOfClock> left) {
  ClockJump best;
  const std::size_t n = left.size();
  if (n < 2 * kFewestAside) return best;
  std::sort(left.begin(), left.end(), [](const auto& a, const auto& b) {
    return a.t_s < b.t_s;
  });
  const auto rows = static_cast<Eigen::Index>(n);
  Eigen::VectorXd t_s(rows), off_s(rows), weight(rows);
  for (Eigen::Index i = 0; i < rows; ++i) {
    const LeftOfClock& one = left[static_cast<std::size_t>(i)];
    t_s[i] = one.t_s;
    off_s[i] = one.off_s;
    weight[i] = 1 / (one.sigma_s * one.sigma_s);
  }
  const LineOut without_line(t_s, weight);
  off_s = without_line(off_s);
  const double chi2 = weight.dot(off_s.cwiseAbs2());
  for (std::size_t k = kFewestAside; k + kFewestAside <= n; ++k) {
    Eigen::VectorXd step = Eigen::VectorXd::Zero(rows);
    step.tail(rows - static_cast<Eigen::Index>(k)).setOnes();
    step = without_line(step);
    const double size = weight.dot(step.cwiseAbs2());
    const double along = weight.cwiseProduct(step).dot(off_s);
    if (!(size > 0)) continue;
    const double explained = along * along / size;
    const double scatter = std::max(
        1.0, (chi2 - explained) / std::max(1.0, static_cast<double>(n) - 3));
    if (explained / scatter > best.gain) {
      best = {explained / scatter,
              (left[k - 1].t_s + left[k].t_s) / 2,
              along / size};
    }
  }
  return best;
}

}  // namespace evenfeed
