// SPDX-License-Identifier: MIT
#include "calibration/table_score.h"

#include "base/check.h"
#include "calibration/behind_net.h"
#include "calibration/line_edges.h"
#include "calibration/line_in_view.h"
#include "calibration/stray_bars.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include <fmt/format.h>
#include <opencv2/core.hpp>

namespace evenfeed {
namespace {

constexpr double kMargin_px = 12;         // cuts need so much of the picture
constexpr double kNearCrossing_m = 0.04;  // crossings and corners are no test

// What is seen or not seen, as evidence.
double evidence(bool seen, double if_there, double if_not) {
  return seen ? std::log(if_there / if_not)
              : std::log((1 - if_there) / (1 - if_not));
}

class Scorer {
 public:
  Scorer(const cv::Mat& luma,
         const RefinedCamera& fit,
         const Surface& surface,
         const std::vector<BrightBar>& bars,
         const TableScoreOptions& options)
      : luma_(luma),
        fit_(fit),
        camera_(fit.solution.camera),
        surface_(surface),
        bars_(bars),
        options_(options),
        eye_(camera_.eye_in_table_m()) {
    search_.reach_px = 2.5;
  }

  TableScore run() {
    for (std::size_t i = 0; i < fit_.lines.size(); ++i) {
      const SurfaceLine& line = fit_.lines[i];
      if (line.net) {
        weigh_tape(fit_.support[i]);
        continue;
      }
      const double contrast = weigh_sections(line);
      if (contrast <= 0) continue;
      weigh_end(line, true, contrast);
      weigh_end(line, false, contrast);
      if (line.on_border) weigh_border(line, contrast);
    }
    weigh_halves();
    weigh_bare();
    return score_;
  }

 private:
  // The picture point when it can be judged: in view, not behind the net.
  std::optional<Eigen::Vector2d> in_sight(const Eigen::Vector3d& x) const {
    const auto p = camera_.project(x);
    if (!p || !camera_.in_picture(*p, kMargin_px)) return std::nullopt;
    if (behind_net(surface_.net, eye_, x, kNearCrossing_m)) return std::nullopt;
    return p;
  }

  // Median contrast of the line's cuts; 0 when it is not seen.
  double weigh_sections(const SurfaceLine& line) {
    std::vector<double> contrasts;
    const double skip = kNearCrossing_m / line.length_m();
    for (int s = 0; s < options_.sections; ++s) {
      int looked = 0, found = 0;
      for (int c = 0; c < options_.cuts_per_section; ++c) {
        const double part =
            (s + (c + 0.5) / options_.cuts_per_section) / options_.sections;
        const double along = skip + part * (1 - 2 * skip);
        if (!in_sight(line.middle_m(along))) continue;
        ++looked;
        const auto cut = cut_line_at(luma_, camera_, line, along, search_);
        if (!cut) continue;
        ++found;
        contrasts.push_back(cut->contrast);
      }
      if (looked < options_.cuts_per_section / 2) continue;
      score_.lines += evidence(
          2 * found >= looked, options_.found_if_there, options_.found_if_not);
    }
    return contrasts.size() < 4 ? 0 : median(contrasts);
  }

  // Followed straight on from one of its ends.
  void weigh_end(const SurfaceLine& line, bool at_low, double contrast) {
    const auto end = in_sight(line.middle_m(at_low ? 0 : 1));
    const auto begin = far_in_view(camera_, line, at_low);
    const auto bar = predict_bar(camera_, line, at_low ? 0 : 1);
    if (!end || !begin || !bar) return;
    LineSearch search = search_;
    search.least_contrast =
        std::max(search.least_contrast, options_.beyond_faint * contrast);
    const double skip_px = 4 + 2 * bar->width_px + search.smooth_px;
    const double look_px = skip_px + options_.beyond * (*end - *begin).norm();
    constexpr int kCuts = 24;
    int looked = 0, found = 0;
    double next_px = skip_px;
    for (double beyond = 0; beyond < 2; beyond += 2e-3) {
      const double along = at_low ? -beyond : 1 + beyond;
      const auto here = camera_.project(line.middle_m(along));
      if (!here || (*here - *end).norm() > look_px) break;
      if ((*here - *end).norm() < next_px) continue;
      next_px = (*here - *end).norm() + (look_px - skip_px) / kCuts;
      if (!camera_.in_picture(*here, kMargin_px)) continue;
      ++looked;
      found += cut_line_at(luma_, camera_, line, along, search).has_value();
    }
    if (looked < kCuts / 2) return;
    const bool goes_on = found >= options_.beyond_share * looked;
    if (goes_on) score_.goes_on = line.name;
    score_.ends +=
        evidence(goes_on, options_.beyond_if_there, options_.beyond_if_not);
  }

  // Grey at a table point, over 3 x 3 pixels.
  std::optional<double> grey(const Eigen::Vector3d& x) const {
    const auto p = in_sight(x);
    if (!p) return std::nullopt;
    const cv::Rect box(static_cast<int>(std::lround(p->x())) - 1,
                       static_cast<int>(std::lround(p->y())) - 1,
                       3,
                       3);
    return cv::mean(luma_(box))[0];
  }

  void weigh_border(const SurfaceLine& line, double contrast) {
    constexpr int kPlaces = 24;
    // Clear of the line by its own width, and by some pixels.
    std::vector<double> differences;
    for (int i = 1; i < kPlaces; ++i) {
      const double along = double(i) / kPlaces;
      const auto bar = predict_bar(camera_, line, along);
      if (!bar || bar->width_px <= 0) continue;
      const double off_m =
          line.width_m() * (1.0 + 4.0 / std::max(bar->width_px, 0.5));
      const Eigen::Vector3d across =
          (line.high_m(along) - line.low_m(along)).normalized();
      const auto low = grey(line.low_m(along) - off_m * across);
      const auto high = grey(line.high_m(along) + off_m * across);
      if (low && high) differences.push_back(*high - *low);
    }
    if (differences.size() < kPlaces / 3) return;
    for (double& d : differences) d = std::abs(d);
    score_.border += evidence(median(differences) < options_.alike * contrast,
                              options_.alike_if_there,
                              options_.alike_if_not);
  }

  void weigh_tape(const LineSupport& tape) {
    if (tape.looked < 10) return;
    score_.net += evidence(tape.share() >= options_.tape_share,
                           options_.tape_if_there,
                           options_.tape_if_not);
  }

  // Each further bar is as likely as the one before.
  void weigh_bare() {
    const int n = stray_bars(bars_, camera_, surface_, fit_.lines);
    score_.bare =
        n * std::log(options_.stray_if_there / options_.stray_if_not) +
        std::log((1 - options_.stray_if_there) / (1 - options_.stray_if_not));
  }

  void weigh_halves() {
    std::vector<double> half[2];
    for (double x = 0.1; x < 0.46; x += 0.06) {
      for (double y = -0.4; y < 0.41; y += 0.16) {
        for (const int side : {0, 1}) {
          const auto g = grey({(side == 0 ? -x : x) * surface_.length_m,
                               y * surface_.width_m,
                               0});
          if (g) half[side].push_back(std::max(*g - 16, 4.0));
        }
      }
    }
    if (half[0].size() < 8 || half[1].size() < 8) return;
    const double ratio = std::log(median(half[0]) / median(half[1]));
    score_.halves += evidence(std::abs(ratio) > options_.halves_differ,
                              options_.differ_if_there,
                              options_.differ_if_not);
  }

  const cv::Mat& luma_;
  const RefinedCamera& fit_;
  const CameraModel& camera_;
  const Surface& surface_;
  const std::vector<BrightBar>& bars_;
  const TableScoreOptions& options_;
  Eigen::Vector3d eye_;
  LineSearch search_;
  TableScore score_;
};

}  // namespace

void TableScoreOptions::check() const {
  require_in_range(sections, 1, 100, "sections");
  require_in_range(cuts_per_section, 1, 100, "cuts_per_section");
  require_in_range(beyond, 0.01, 1, "beyond");
  require_in_range(beyond_share, 0.1, 1, "beyond_share");
  require_in_range(beyond_faint, 0.01, 1, "beyond_faint");
  require_in_range(alike, 0.001, 1, "alike");
  require_in_range(halves_differ, 0.01, 5, "halves_differ");
  for (const double chance : {found_if_there,
                              found_if_not,
                              beyond_if_there,
                              beyond_if_not,
                              alike_if_there,
                              alike_if_not,
                              stray_if_there,
                              stray_if_not,
                              tape_share,
                              tape_if_there,
                              tape_if_not,
                              differ_if_there,
                              differ_if_not}) {
    require_in_range(chance, 0.001, 0.999, "a chance");
  }
}

std::string TableScore::words() const {
  return fmt::format(
      "{:.1f} nats (lines {:.1f}, their ends {:.1f}, border {:.1f}, net "
      "{:.1f}, halves {:.1f}, bare {:.1f})",
      total(),
      lines,
      ends,
      border,
      net,
      halves,
      bare);
}

TableScore score_table(const cv::Mat& luma,
                       const RefinedCamera& fit,
                       const Surface& surface,
                       const std::vector<BrightBar>& bars,
                       const TableScoreOptions& options) {
  options.check();
  return Scorer(luma, fit, surface, bars, options).run();
}

}  // namespace evenfeed
