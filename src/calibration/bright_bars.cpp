// SPDX-License-Identifier: MIT
#include "calibration/bright_bars.h"

#include "base/check.h"

#include <algorithm>
#include <cmath>

#include <opencv2/imgproc.hpp>

namespace evenfeed {
namespace {

using Eigen::Vector2d;

// A segment with the brighter side on its left (seen along from -> to, with v
// down: direction rotated by -90 degrees in picture coordinates).
struct Edge {
  Vector2d from, to;
  Vector2d direction() const { return (to - from).normalized(); }
  Vector2d bright_side() const {
    const Vector2d d = direction();
    return {d.y(), -d.x()};
  }
  double length() const { return (to - from).norm(); }
};

double grey_at(const cv::Mat& luma, const Vector2d& p) {
  const int c =
      std::clamp(static_cast<int>(std::lround(p.x())), 0, luma.cols - 1);
  const int r =
      std::clamp(static_cast<int>(std::lround(p.y())), 0, luma.rows - 1);
  return luma.at<uchar>(r, c);
}

std::vector<Edge> find_edges(const cv::Mat& luma, double shortest_px) {
  const auto detector = cv::createLineSegmentDetector(cv::LSD_REFINE_STD, 0.8);
  std::vector<cv::Vec4f> segments;
  detector->detect(luma, segments);
  std::vector<Edge> edges;
  for (const cv::Vec4f& s : segments) {
    Edge edge{{s[0], s[1]}, {s[2], s[3]}};
    if (edge.length() < shortest_px) continue;
    double difference = 0;
    for (const double t : {0.1, 0.3, 0.5, 0.7, 0.9}) {
      const Vector2d at = edge.from + t * (edge.to - edge.from);
      difference += grey_at(luma, at + 1.5 * edge.bright_side()) -
                    grey_at(luma, at - 1.5 * edge.bright_side());
    }
    if (difference < 0) std::swap(edge.from, edge.to);
    edges.push_back(edge);
  }
  return edges;
}

// The bar between two edges that face each other; length 0 when they do not.
BrightBar bar_between(const Edge& a, const Edge& b, double widest_px) {
  BrightBar none;
  none.from_px = none.to_px = a.from;
  const Vector2d da = a.direction();
  if (da.dot(b.direction()) > -0.997) return none;  // 4.4 degrees
  const Vector2d across = a.bright_side();
  const double w1 = across.dot(b.from - a.from);
  const double w2 = across.dot(b.to - a.from);
  const double width = (w1 + w2) / 2;
  if (width < 0.7 || width > widest_px) return none;
  if (std::min(w1, w2) < 0.3 * width) return none;
  // b runs the other way: its `to` is nearer a's `from`.
  const double low = std::max(0.0, da.dot(b.to - a.from));
  const double high = std::min(a.length(), da.dot(b.from - a.from));
  if (high - low < 0.5 * std::min(a.length(), b.length())) return none;
  if (high - low < 2 * width) return none;
  BrightBar bar;
  auto middle = [&](double along) {
    const Vector2d on_a = a.from + along * da;
    const Vector2d db = b.direction();
    const Vector2d on_b = b.from + db.dot(on_a - b.from) * db;
    return Vector2d((on_a + on_b) / 2);
  };
  bar.from_px = middle(low);
  bar.to_px = middle(high);
  bar.width_px = width;
  return bar;
}

// How far `p` is from the infinite line through the bar.
double off_line(const BrightBar& bar, const Vector2d& p) {
  const Vector2d d = bar.direction();
  const Vector2d r = p - bar.from_px;
  return std::abs(d.x() * r.y() - d.y() * r.x());
}

// b continues a: same direction, on its line, no gap longer than both.
bool continues(const BrightBar& a, const BrightBar& b, double off_px) {
  if (std::abs(a.direction().dot(b.direction())) < 0.9975) return false;
  if (b.width_px > 2.5 * a.width_px + 2 || a.width_px > 2.5 * b.width_px + 2) {
    return false;
  }
  const Vector2d d = a.direction();
  const double s1 = d.dot(b.from_px - a.from_px);
  const double s2 = d.dot(b.to_px - a.from_px);
  const double gap =
      std::max({std::min(s1, s2) - a.length_px(), -std::max(s1, s2), 0.0});
  const double allowed = off_px + 0.02 * gap;
  if (off_line(a, b.from_px) > allowed || off_line(a, b.to_px) > allowed) {
    return false;
  }
  return gap < 0.6 * (a.length_px() + b.length_px());
}

BrightBar joined(const BrightBar& a, const BrightBar& b) {
  const Vector2d d = a.direction();
  const double la = a.length_px(), lb = b.length_px();
  BrightBar result = a;
  double low = 0, high = la;
  for (const Vector2d& p : {b.from_px, b.to_px}) {
    const double s = d.dot(p - a.from_px);
    if (s < low) {
      low = s;
      result.from_px = p;
    }
    if (s > high) {
      high = s;
      result.to_px = p;
    }
  }
  const double seen = std::min(la * a.coverage + lb * b.coverage, high - low);
  result.coverage = seen / std::max(high - low, 1e-9);
  result.width_px = (la * a.width_px + lb * b.width_px) / (la + lb);
  return result;
}

void join_pieces(std::vector<BrightBar>& bars, double off_px) {
  const auto longer = [](const BrightBar& a, const BrightBar& b) {
    return a.length_px() > b.length_px();
  };
  for (bool changed = true; changed;) {
    changed = false;
    std::sort(bars.begin(), bars.end(), longer);
    for (std::size_t i = 0; i < bars.size(); ++i) {
      for (std::size_t j = bars.size(); j-- > i + 1;) {
        if (!continues(bars[i], bars[j], off_px)) continue;
        bars[i] = joined(bars[i], bars[j]);
        bars.erase(bars.begin() + j);
        changed = true;
      }
    }
  }
}

}  // namespace

void BrightBarOptions::check() const {
  require_positive(widest, "widest");
  require_positive(shortest, "shortest");
  require_positive(keep_length, "keep_length");
  require_in_range(most, 4, 400, "most");
}

std::vector<BrightBar> find_bright_bars(const cv::Mat& luma,
                                        const BrightBarOptions& options) {
  options.check();
  const double width = luma.cols;
  const std::vector<Edge> edges = find_edges(luma, options.shortest * width);
  std::vector<BrightBar> bars;
  for (std::size_t i = 0; i < edges.size(); ++i) {
    for (std::size_t j = i + 1; j < edges.size(); ++j) {
      const BrightBar bar =
          bar_between(edges[i], edges[j], options.widest * width);
      if (bar.length_px() > 0) bars.push_back(bar);
    }
  }
  join_pieces(bars, 0.003 * width + 1);
  std::erase_if(bars, [&](const BrightBar& bar) {
    return bar.length_px() < options.keep_length * width;
  });
  if (static_cast<int>(bars.size()) > options.most) bars.resize(options.most);
  return bars;
}

}  // namespace evenfeed
