// SPDX-License-Identifier: MIT
#include "calibration/table_finder.h"

#include "base/check.h"
#include "calibration/bar_corners.h"
#include "calibration/bright_bars.h"
#include "calibration/plane_camera.h"
#include "calibration/surface_lines.h"
#include "calibration/trial_lens.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <opencv2/imgproc.hpp>

namespace evenfeed {
namespace {

using Eigen::Vector2d;

constexpr double kCovered = 0.5;  // of a border line, seen as one bar

// Of a half table: its end, part of the picture's width, its area, part of the
// picture's, and its sides as far as they are seen, part of the end; of one
// that may be small too. To the net a side is 0.85 of the end; seen over the
// end from 20 degrees above the table it is 0.3 of it, from 8 degrees 0.12.
struct LeastHalf {
  double end, area, side;
};
constexpr LeastHalf kLeastHalf{0.1, 0.04, 0.3}, kSmallHalf{0.04, 0.01, 0.3},
    kShortHalf{0.04, 0.01, 0.12};

const LeastHalf& least_half(const TableFinderOptions& options) {
  if (options.short_sides) return kShortHalf;
  return options.small_halves ? kSmallHalf : kLeastHalf;
}

// Short sides are short bars, and the edges of a thin line that is enlarged run
// in stairs, of which each is an edge of its own.
BrightBarOptions bars_for(const TableFinderOptions& options) {
  BrightBarOptions bars;
  if (!options.short_sides) return bars;
  bars.shortest /= 3;
  bars.keep_length /= 2;
  return bars;
}

// Middles of the border's four lines, in the table frame.
struct Border {
  bool complete = false;
  double near_x = 0, far_x = 0, right_y = 0, left_y = 0;
};

Border border_of(const std::vector<SurfaceLine>& lines) {
  Border border;
  int found = 0;
  for (const SurfaceLine& line : lines) {
    if (!line.on_border) continue;
    const Eigen::Vector3d middle = line.middle_m(0.5);
    double& side = line.along_x
                       ? (middle.y() > 0 ? border.left_y : border.right_y)
                       : (middle.x() > 0 ? border.far_x : border.near_x);
    if (side == 0) ++found;
    side = line.along_x ? middle.y() : middle.x();
  }
  border.complete = found == 4;
  return border;
}

// The y of a line between the sides that runs from end to end.
std::optional<double> centre_of(const std::vector<SurfaceLine>& lines) {
  std::optional<double> y;
  double longest_m = 0, side_m = 0;
  for (const SurfaceLine& line : lines) {
    if (!line.along_x) continue;
    double& most_m = line.on_border ? side_m : longest_m;
    if (line.length_m() > most_m && !line.on_border) y = line.middle_m(0.5).y();
    most_m = std::max(most_m, line.length_m());
  }
  return longest_m > 0.98 * side_m ? y : std::nullopt;
}

double quad_area(const std::array<Vector2d, 4>& q) {
  double twice = 0;
  for (int i = 0; i < 4; ++i) {
    const Vector2d &a = q[i], &b = q[(i + 1) % 4];
    twice += a.x() * b.y() - a.y() * b.x();
  }
  return twice / 2;
}

bool convex(const std::array<Vector2d, 4>& q) {
  int sense = 0;
  for (int i = 0; i < 4; ++i) {
    const Vector2d s = q[(i + 1) % 4] - q[i];
    const Vector2d t = q[(i + 2) % 4] - q[(i + 1) % 4];
    const double turn = s.x() * t.y() - s.y() * t.x();
    const int now = turn > 0 ? 1 : -1;
    if (sense != 0 && now != sense) return false;
    sense = now;
  }
  return true;
}

class Finder {
 public:
  Finder(const cv::Mat& luma,
         const Surface& surface,
         const std::optional<LensModel<double>>& lens,
         const TableFinderOptions& options)
      : luma_(luma),
        surface_(surface),
        lines_(painted_lines(surface)),
        border_(border_of(lines_)),
        centre_y_(centre_of(lines_)),
        lens_(lens),
        options_(options) {}

  std::vector<FoundTable> run() {
    if (!border_.complete) return {};
    const std::vector<BrightBar> bars =
        find_bright_bars(luma_, bars_for(options_));
    const BarCorners corners(bars, luma_.size());
    propose_whole(bars, corners);
    propose_half(bars, corners);
    const auto better = [](const FoundTable& a, const FoundTable& b) {
      return a.missing != b.missing ? a.missing < b.missing
                                    : a.evidence > b.evidence;
    };
    std::sort(found_.begin(), found_.end(), better);
    drop_twins();
    return found_;
  }

 private:
  // Four bars whose neighbours meet: a, b one pair of opposite sides, c and d
  // the other; or a, b the ends, c one side and d the centre line, where the
  // other side is hidden or lies before something as bright.
  void propose_whole(const std::vector<BrightBar>& bars,
                     const BarCorners& corners) {
    const int n = corners.bars();
    for (int a = 0; a < n; ++a) {
      for (int b = a + 1; b < n; ++b) {
        for (int c = 0; c < n; ++c) {
          if (c == a || c == b || !corners.meet(a, c) || !corners.meet(b, c)) {
            continue;
          }
          for (int d = 0; d < n; ++d) {
            if (d == a || d == b || d == c) continue;
            const bool side = d > c && corners.meet(a, d) && corners.meet(b, d);
            const bool middle =
                centre_y_ && reaches(corners, d, a) && reaches(corners, d, b);
            if (!side && !middle) continue;
            if (!all_covered(bars, corners, {a, b, c, d})) continue;
            // Each set of four once per choice of which pair is the ends.
            const std::array<Vector2d, 4> q{corners.at(a, c),
                                            corners.at(a, d),
                                            corners.at(b, d),
                                            corners.at(b, c)};
            if (side) try_quad(q, std::nullopt);
            if (middle) try_quad(q, centre_y_);
          }
        }
      }
    }
  }

  // As the centre line does an end line, of which half may be hidden.
  static bool reaches(const BarCorners& corners, int centre, int end) {
    return corners.meets_within(centre, end) || corners.meet(centre, end);
  }

  // a and b cross c and d; `of` is a, b, c, d.
  bool all_covered(const std::vector<BrightBar>& bars,
                   const BarCorners& corners,
                   const std::array<int, 4>& of) const {
    const auto [a, b, c, d] = of;
    const auto is = [&, size = luma_.size()](int bar, int from, int to) {
      return covered_by(
                 bars[bar], corners.at(bar, from), corners.at(bar, to), size) >=
             kCovered;
    };
    return is(a, c, d) && is(b, c, d) && is(c, a, b) && is(d, a, b);
  }

  // q[0]-q[1] and q[2]-q[3] are taken for the ends, in turn around. With
  // `second_y`, q[1]-q[2] is the line there instead of a side.
  void try_quad(std::array<Vector2d, 4> q,
                const std::optional<double>& second_y) {
    const double area = quad_area(q);
    if (std::abs(area) < 0.02 * luma_.total() || !convex(q)) return;
    double right_y = border_.right_y,
           left_y = second_y.value_or(border_.left_y);
    // Seen from above, near-right, near-left, far-left, far-right turns
    // clockwise in the table frame and so clockwise on the picture (v down).
    if (area < 0) {
      std::swap(q[0], q[1]);
      std::swap(q[2], q[3]);
      right_y = second_y.value_or(border_.right_y);
      left_y = border_.left_y;
    }
    const std::vector<PlanePoint> points{{{border_.near_x, right_y}, q[0]},
                                         {{border_.near_x, left_y}, q[1]},
                                         {{border_.far_x, left_y}, q[2]},
                                         {{border_.far_x, right_y}, q[3]}};
    const auto plane = camera_from_plane(points, luma_.cols, luma_.rows, lens_);
    if (!plane || plane->rms_px > 0.03 * std::sqrt(std::abs(area))) return;
    judge(plane->camera, false);
  }

  void propose_half(const std::vector<BrightBar>& bars,
                    const BarCorners& corners) {
    const int n = corners.bars();
    for (int e = 0; e < n; ++e) {
      for (int s = 0; s < n; ++s) {
        if (s == e || !corners.meet(e, s)) continue;
        for (int t = 0; t < n; ++t) {
          if (t == e || t == s) continue;
          const bool side = t > s && corners.meet(e, t);
          const bool middle =
              options_.small_halves && centre_y_ && corners.meets_within(t, e);
          if (side) try_half(bars, corners, e, s, t, std::nullopt);
          if (middle) try_half(bars, corners, e, s, t, centre_y_);
        }
      }
    }
  }

  // With `second_y`, side2 is the line there, and half of the end is looked at.
  void try_half(const std::vector<BrightBar>& bars,
                const BarCorners& corners,
                int end,
                int side1,
                int side2,
                const std::optional<double>& second_y) {
    const Vector2d c1 = corners.at(end, side1), c2 = corners.at(end, side2);
    const auto far_end = [](const BrightBar& bar, const Vector2d& corner) {
      return (bar.from_px - corner).norm() > (bar.to_px - corner).norm()
                 ? bar.from_px
                 : bar.to_px;
    };
    const Vector2d f1 = far_end(bars[side1], c1);
    const Vector2d f2 = far_end(bars[side2], c2);
    const double base = (c1 - c2).norm();
    const LeastHalf& least = least_half(options_);
    const double part = second_y ? 0.5 : 1;
    if (base < part * least.end * luma_.cols ||
        (f1 - c1).norm() < least.side * base ||
        (f2 - c2).norm() < least.side * base) {
      return;
    }
    if (covered_by(bars[end], c1, c2, luma_.size()) < kCovered ||
        covered_by(bars[side1], c1, f1, luma_.size()) < kCovered ||
        covered_by(bars[side2], c2, f2, luma_.size()) < kCovered) {
      return;
    }
    // Both sides on the same hand of the end.
    std::array<Vector2d, 4> q{c1, c2, f2, f1};
    if (!convex(q) ||
        std::abs(quad_area(q)) < part * least.area * luma_.total()) {
      return;
    }
    // Around the quad clockwise (v down): far left, far right, and back along
    // the sides.
    const bool first_left = quad_area(q) > 0;
    const double first_y = first_left ? border_.left_y : border_.right_y;
    const double other_y = first_left ? border_.right_y : border_.left_y;
    EndAndSides seen;
    seen.first = {{border_.far_x, first_y}, c1};
    seen.second = {{border_.far_x, second_y.value_or(other_y)}, c2};
    seen.first_side_px = f1;
    seen.second_side_px = f2;
    for (const CameraModel& plain : ladder()) {
      const auto camera = camera_from_end_and_sides(seen, -1, plain);
      if (camera) judge(*camera, true);
    }
  }

  std::vector<CameraModel> ladder() const {
    std::vector<CameraModel> cameras;
    if (lens_) {
      cameras.push_back(plain_camera(luma_.cols, luma_.rows, lens_->focal_px));
      cameras.back().lens = *lens_;
      return cameras;
    }
    for (double ratio = 0.55; ratio < 2.6; ratio *= 1.12) {
      cameras.push_back(
          plain_camera(luma_.cols, luma_.rows, ratio * luma_.cols));
    }
    return cameras;
  }

  void judge(const CameraModel& camera, bool half) {
    if (weigh(camera, 0.08).evidence <= 0) return;  // most fail here, cheaply
    const Weight weight = weigh(camera, 0.02);
    if (weight.confirmed < 3 || weight.evidence <= 0) return;
    found_.push_back({camera, weight.evidence, weight.missing, half});
  }

  struct Weight {
    double evidence = 0;
    int confirmed = 0;  // lines
    int missing = 0;    // lines in the picture that are not borne out
  };

  // `spacing`: between cuts, as part of the picture's width.
  Weight weigh(const CameraModel& camera, double spacing) const {
    LineSearch search;
    search.reach_px = 0.008 * luma_.cols;
    search.spacing_px = spacing * luma_.cols;
    Weight weight;
    const AllCuts all = cut_all_lines(luma_, camera, surface_, lines_, search);
    for (const LineSupport& line : all.support) {
      weight.evidence += line.found - 1.5 * (line.looked - line.found);
      if (line.found >= 4 && line.share() > 0.5) ++weight.confirmed;
      if (line.looked >= 4 && line.share() < 0.4) ++weight.missing;
    }
    return weight;
  }

  // The same camera by another route adds nothing.
  void drop_twins() {
    std::vector<FoundTable> kept;
    for (const FoundTable& f : found_) {
      const bool twin =
          std::any_of(kept.begin(), kept.end(), [&](const FoundTable& k) {
            return same_view(k.camera, f.camera);
          });
      if (!twin) kept.push_back(f);
      if (static_cast<int>(kept.size()) >= options_.proposals) break;
    }
    found_ = std::move(kept);
  }

  // The border's corners at the same places, whichever end is called near,
  // and the focal lengths alike: the solver takes both to the same end.
  bool same_view(const CameraModel& a, const CameraModel& b) const {
    if (std::abs(std::log(a.lens.focal_px / b.lens.focal_px)) > 0.15) {
      return false;
    }
    const double near_px = 0.006 * luma_.cols;
    for (const double turn : {1.0, -1.0}) {
      double farthest = 0;
      for (const double x : {border_.near_x, border_.far_x}) {
        for (const double y : {border_.right_y, border_.left_y}) {
          const auto p = a.project({x, y, 0});
          const auto q = b.project({turn * x, turn * y, 0});
          farthest = std::max(farthest, p && q ? (*p - *q).norm() : 1e9);
        }
      }
      if (farthest < near_px) return true;
    }
    return false;
  }

  const cv::Mat& luma_;
  const Surface& surface_;
  std::vector<SurfaceLine> lines_;
  Border border_;
  std::optional<double> centre_y_;
  std::optional<LensModel<double>> lens_;
  TableFinderOptions options_;
  std::vector<FoundTable> found_;
};

CameraModel scaled(const CameraModel& camera,
                   double scale,
                   const cv::Size& to) {
  CameraModel result = camera;
  result.width_px = to.width;
  result.height_px = to.height;
  result.lens.focal_px *= scale;
  // Pixel centres are integers: the corner (-0.5, -0.5) is what stays.
  result.lens.centre_u_px = (camera.lens.centre_u_px + 0.5) * scale - 0.5;
  result.lens.centre_v_px = (camera.lens.centre_v_px + 0.5) * scale - 0.5;
  return result;
}

}  // namespace

void TableFinderOptions::check() const {
  require_in_range(proposals, 1, 1000, "proposals");
  require_in_range(work_width_px, 64, 16384, "work_width_px");
  require_in_range(most_enlarged, 1, 16, "most_enlarged");
  require_in_range(k1, -1, 1, "k1");
  solver.check();
}

std::vector<FoundTable> find_table(
    const cv::Mat& luma,
    const Surface& surface,
    const std::optional<LensModel<double>>& known_lens,
    const TableFinderOptions& options) {
  options.check();
  const double scale =
      std::min(options.most_enlarged, options.work_width_px / luma.cols);
  cv::Mat work = luma;
  if (scale != 1) {
    cv::resize(luma,
               work,
               {},
               scale,
               scale,
               scale < 1 ? cv::INTER_AREA : cv::INTER_CUBIC);
  }
  if (options.k1 != 0) work = straightened(work, options.k1);
  std::optional<LensModel<double>> lens = known_lens;
  if (lens) {
    CameraModel full;
    full.lens = *lens;
    lens = scaled(full, scale, work.size()).lens;
  }
  std::vector<FoundTable> found = Finder(work, surface, lens, options).run();
  for (FoundTable& f : found) {
    f.camera = scaled(f.camera, 1 / scale, luma.size());
    if (options.k1 != 0) bend(f.camera, options.k1);
  }
  return found;
}

}  // namespace evenfeed
