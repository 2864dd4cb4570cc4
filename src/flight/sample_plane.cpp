// SPDX-License-Identifier: MIT
#include "flight/sample_plane.h"

#include "stats/cauchy_weight.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {

namespace {

struct Touch {
  double x_m, z_m;  // of the ball's centre
  double weight = 1;
};

std::vector<Touch> touches(const std::vector<FoundFeed>& found,
                           const std::vector<ReturnFit>& returns,
                           const FlightOptions& options) {
  std::vector<Touch> all;
  for (std::size_t i = 0; i < found.size(); ++i) {
    if (!returns[i].fit.ok()) continue;
    const Eigen::Vector3d x_m =
        flight_state(
            found[i].fit.parameters, options, Arc::kOut, returns[i].t_contact_s)
            .x_m;
    all.push_back({x_m.x(), x_m.z()});
  }
  return all;
}

// x = x_m + tangent (z - z_m), both at the touches' middle.
struct Line {
  double x_m = 0, z_m = 0, tangent = 0;
  double scatter_m = 0;
  double sd_m = 0, tangent_sd = 0;

  double off_m(const Touch& touch) const {
    return touch.x_m - x_m - tangent * (touch.z_m - z_m);
  }
};

constexpr double kLeast_m = 0.001;
constexpr double kOfFew_m = 0.010;
constexpr std::size_t kFew = 3;

// About the line as it is, the parameters it was fitted with taken off.
double scatter_about(const Line& line,
                     const std::vector<Touch>& all,
                     int free) {
  if (all.size() < kFew) return kOfFew_m;
  std::vector<double> off;
  for (const Touch& touch : all) off.push_back(line.off_m(touch));
  const auto n = static_cast<double>(all.size());
  return std::max({kLeast_m,
                   kOfFew_m / n,
                   median_absolute_deviation(off) * std::sqrt(n / (n - free))});
}

// Weighted least squares.
Line fitted(const std::vector<Touch>& all,
            const Line& before,
            const Prior& tangent) {
  double sum = 0, x = 0, z = 0;
  for (const Touch& touch : all) {
    sum += touch.weight;
    x += touch.weight * touch.x_m;
    z += touch.weight * touch.z_m;
  }
  Line line = before;
  line.x_m = x / sum;
  line.z_m = z / sum;
  line.sd_m = std::max(kLeast_m, before.scatter_m / std::sqrt(sum));
  if (tangent.sd == 0) return line;
  double zz = 0, xz = 0;
  for (const Touch& touch : all) {
    zz += touch.weight * (touch.z_m - line.z_m) * (touch.z_m - line.z_m);
    xz += touch.weight * (touch.z_m - line.z_m) * (touch.x_m - line.x_m);
  }
  const double variance = before.scatter_m * before.scatter_m;
  const double believed = 1 / (tangent.sd * tangent.sd);
  const double information = zz / variance + believed;
  line.tangent = (xz / variance + tangent.mean * believed) / information;
  line.tangent_sd = 1 / std::sqrt(information);
  return line;
}

Line line_through(std::vector<Touch> all, const Prior& tangent) {
  constexpr int kRounds = 20;
  std::vector<double> x_m, z_m;
  for (const Touch& touch : all) {
    x_m.push_back(touch.x_m);
    z_m.push_back(touch.z_m);
  }
  Line line;
  line.tangent = tangent.mean;
  line.x_m = median(x_m);
  line.z_m = median(z_m);
  for (int round = 0; round < kRounds; ++round) {
    line.scatter_m = scatter_about(line, all, tangent.sd == 0 ? 1 : 2);
    for (Touch& touch : all) {
      touch.weight = cauchy_weight(line.off_m(touch) / line.scatter_m);
    }
    line = fitted(all, line, tangent);
  }
  return line;
}

}  // namespace

double SampleSeen::foot_m() const { return x_m - z_m * std::tan(lean_rad); }

double SampleSeen::foot_sd_m() const {
  const double cosine = std::cos(lean_rad);
  return std::hypot(sd_m, z_m * lean_sd_rad / (cosine * cosine));
}

SampleSeen sample_from_returns(const std::vector<FoundFeed>& found,
                               const std::vector<ReturnFit>& returns,
                               const FlightOptions& options,
                               const Prior& lean_rad) {
  const std::vector<Touch> all = touches(found, returns, options);
  SampleSeen seen;
  if (all.empty()) return seen;
  const double believed = std::cos(lean_rad.mean);
  const Line line = line_through(
      all, {std::tan(lean_rad.mean), lean_rad.sd / (believed * believed)});
  seen.returns = static_cast<int>(all.size());
  seen.lean_rad = std::atan(line.tangent);
  const double cosine = std::cos(seen.lean_rad);
  seen.lean_sd_rad = line.tangent_sd * cosine * cosine;
  seen.x_m = line.x_m + options.ball.radius_m / cosine;
  seen.z_m = line.z_m;
  seen.sd_m = line.sd_m;
  return seen;
}

FeedEnds with_sample_seen(FeedEnds ends, const SampleSeen& seen) {
  if (!seen.known()) return ends;
  if (std::isnan(ends.sample_x_m)) {
    ends.sample_x_m = seen.x_m;
    ends.sample_z_m = seen.z_m;
    ends.sample_sd_m = seen.sd_m;
    ends.sample_lean_rad = seen.lean_rad;
    ends.sample_lean_sd_rad = seen.lean_sd_rad;
  } else if (ends.sample_sd_m > 0) {
    const double told = 1 / (ends.sample_sd_m * ends.sample_sd_m);
    const double shown = 1 / (seen.foot_sd_m() * seen.foot_sd_m());
    ends.sample_x_m =
        (told * ends.sample_x_m + shown * seen.foot_m()) / (told + shown);
    ends.sample_sd_m = 1 / std::sqrt(told + shown);
  }
  return ends;
}

bool sample_is_elsewhere(const FeedEnds& told, const SampleSeen& seen) {
  constexpr double kSigmas = 3;
  constexpr double kNear_m = 0.005;
  if (!seen.known() || std::isnan(told.sample_x_m)) return false;
  const double off_m = std::abs(seen.foot_m() - told.sample_x_m);
  return off_m > kNear_m &&
         off_m > kSigmas * std::hypot(seen.foot_sd_m(), told.sample_sd_m);
}

}  // namespace evenfeed
