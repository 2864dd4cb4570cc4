// SPDX-License-Identifier: MIT
#include "detection/candidate_finder.h"

#include <algorithm>
#include <cmath>
#include <cstring>

#include <Eigen/Eigenvalues>

namespace evenfeed {
namespace {

constexpr int kMargin = 4;      // px around the cells that changed
constexpr int kLeastPiece = 4;  // px
constexpr std::size_t kMostPieces = 200;
constexpr int kNeverLarge_px = 6;

int gap(const cv::Rect& a, const cv::Rect& b) {
  const int across = std::max(a.x - b.br().x, b.x - a.br().x);
  const int down = std::max(a.y - b.br().y, b.y - a.br().y);
  return std::max({across, down, 0});
}

// Few pixels of a window are over: the rest is stepped over many at a time.
const std::uint8_t* next_over(const std::uint8_t* first,
                              const std::uint8_t* end) {
  const void* found =
      std::memchr(first, 1, static_cast<std::size_t>(end - first));
  return found == nullptr ? end : static_cast<const std::uint8_t*>(found);
}

}  // namespace

CandidateFinder::CandidateFinder(const BallScale& scale, int sign)
    : scale_(scale), sign_(sign) {}

CandidateFinder::Count CandidateFinder::find(const cv::Mat& luma,
                                             const Background& background,
                                             const ChangeFinder& changes,
                                             const ChangedArea& area,
                                             std::vector<Candidate>& found) {
  Count count;
  const cv::Rect picture(0, 0, luma.cols, luma.rows);
  const cv::Rect window = cv::Rect(area.box.x - kMargin,
                                   area.box.y - kMargin,
                                   area.box.width + 2 * kMargin,
                                   area.box.height + 2 * kMargin) &
                          picture;
  measure_steps(luma, background, window);
  gather_pieces(window, changes, area.label);
  const auto limits_of = [&](const cv::Rect& box) {
    return scale_.at({window.x + box.x + box.width / 2.0,
                      window.y + box.y + box.height / 2.0});
  };
  std::erase_if(pieces_, [&](const Piece& piece) {
    if (never_large(piece)) return false;
    const BallLimits limits = limits_of(piece.box);
    // Two balls may touch.
    const double longest = 2 * limits.most_diameter_px + limits.most_streak_px;
    const double most = longest + 6;
    const double most_area = limits.most_diameter_px * longest;
    const bool large = piece.box.width > most || piece.box.height > most ||
                       piece.pixels > 1.3 * most_area + 40;
    count.too_large += large;
    return large;
  });
  if (pieces_.empty()) return count;
  std::stable_sort(pieces_.begin(), pieces_.end(), [](auto& a, auto& b) {
    return a.pixels > b.pixels;
  });
  if (pieces_.size() > kMostPieces) pieces_.resize(kMostPieces);
  const int groups =
      group_pieces(0.6 * limits_of(pieces_.front().box).most_diameter_px);
  for (int group = 0; group < groups; ++group) {
    Candidate candidate = guess(group, window);
    if (candidate.pixels < fewest_pixels(candidate.limits.least_diameter_px)) {
      ++count.too_small;
    } else {
      found.push_back(candidate);
    }
  }
  return count;
}

// Not even where balls are smallest: in noise most pieces, which need no look
// at how large a ball is there.
bool CandidateFinder::never_large(const Piece& piece) {
  return std::max(piece.box.width, piece.box.height) <= kNeverLarge_px;
}

void CandidateFinder::measure_steps(const cv::Mat& luma,
                                    const Background& background,
                                    const cv::Rect& window) {
  const auto pixels = static_cast<std::size_t>(window.area());
  steps_.resize(pixels);
  over_.resize(pixels);
  limits_.resize(static_cast<std::size_t>(window.width));
  for (int row = 0; row < window.height; ++row) {
    const int v = window.y + row;
    if (row == 0 || v % kCell_px == 0) {
      const std::int16_t* thresholds = background.thresholds(v / kCell_px);
      for (int i = 0; i < window.width; ++i) {
        limits_[static_cast<std::size_t>(i)] =
            thresholds[(window.x + i) / kCell_px];
      }
    }
    const auto base = static_cast<std::size_t>(row * window.width);
    measure_row(luma.ptr<std::uint8_t>(v) + window.x,
                background.mean_row(v) + window.x,
                background.gain_q14(v),
                base);
  }
}

// A row by itself, without branches: the compiler makes vectors of it.
void CandidateFinder::measure_row(const std::uint8_t* seen,
                                  const std::int16_t* mean,
                                  std::int16_t gain,
                                  std::size_t base) {
  std::int16_t* steps = steps_.data() + base;
  std::uint8_t* over = over_.data() + base;
  const std::int16_t* limits = limits_.data();
  const auto sign = static_cast<std::int16_t>(sign_);
  const int width = static_cast<int>(limits_.size());
  for (int i = 0; i < width; ++i) {
    const auto expected = static_cast<std::int16_t>((mean[i] * gain) >> 16);
    const auto step =
        static_cast<std::int16_t>(sign * ((seen[i] << 4) - expected));
    steps[i] = step;
    over[i] = step > limits[i] ? 1 : 0;
  }
}

void CandidateFinder::gather_pieces(const cv::Rect& window,
                                    const ChangeFinder& changes,
                                    int label) {
  pieces_.clear();
  marks_.assign(steps_.size(), 0);
  const std::uint8_t* const first = over_.data();
  const std::uint8_t* const end = first + over_.size();
  for (const std::uint8_t* next = next_over(first, end); next != end;
       next = next_over(next + 1, end)) {
    const int at = static_cast<int>(next - first);
    if (marks_[static_cast<std::size_t>(at)] != 0 ||
        changes.label(window.x + at % window.width,
                      window.y + at / window.width) != label) {
      continue;
    }
    const Piece piece = flood(at, static_cast<int>(pieces_.size()) + 1, window);
    pieces_.push_back(piece);
  }
  last_mark_ = static_cast<int>(pieces_.size());
  std::erase_if(pieces_,
                [](const Piece& piece) { return piece.pixels < kLeastPiece; });
}

CandidateFinder::Piece CandidateFinder::flood(int start,
                                              int mark,
                                              const cv::Rect& window) {
  Piece piece;
  piece.mark = mark;
  int left = window.width, right = 0, top = window.height, bottom = 0;
  stack_.assign(1, start);
  marks_[static_cast<std::size_t>(start)] = mark;
  while (!stack_.empty()) {
    const int at = stack_.back();
    stack_.pop_back();
    const int row = at / window.width;
    const int column = at % window.width;
    ++piece.pixels;
    left = std::min(left, column);
    right = std::max(right, column);
    top = std::min(top, row);
    bottom = std::max(bottom, row);
    for (int r = std::max(0, row - 1);
         r <= std::min(window.height - 1, row + 1);
         ++r) {
      for (int c = std::max(0, column - 1);
           c <= std::min(window.width - 1, column + 1);
           ++c) {
        const auto next = static_cast<std::size_t>(r * window.width + c);
        if (over_[next] == 0 || marks_[next] != 0) continue;
        marks_[next] = mark;
        stack_.push_back(static_cast<int>(next));
      }
    }
  }
  piece.box = cv::Rect(left, top, right - left + 1, bottom - top + 1);
  return piece;
}

// Numbers the groups from 0, largest piece first; returns how many there are.
int CandidateFinder::group_pieces(double reach_px) {
  int groups = 0;
  std::vector<std::size_t> open;
  for (std::size_t i = 0; i < pieces_.size(); ++i) {
    if (pieces_[i].group >= 0) continue;
    pieces_[i].group = groups;
    open.assign(1, i);
    while (!open.empty()) {
      const std::size_t at = open.back();
      open.pop_back();
      for (std::size_t j = 0; j < pieces_.size(); ++j) {
        if (pieces_[j].group >= 0 ||
            gap(pieces_[at].box, pieces_[j].box) > reach_px) {
          continue;
        }
        pieces_[j].group = groups;
        open.push_back(j);
      }
    }
    ++groups;
  }
  return groups;
}

// Moments of the changes, cut off at a part of the ball's plateau so that the
// outline weighs more than the shading. A disc of radius R swept over L has
// variance R^2/4 across and about R^2/4 + L^2/12 along.
Candidate CandidateFinder::guess(int group, const cv::Rect& window) {
  constexpr double kPlateau = 0.8;  // quantile of the changes in the group
  constexpr double kCut = 0.6;      // of the plateau
  std::vector<std::uint8_t> ours(static_cast<std::size_t>(last_mark_) + 1, 0);
  cv::Rect box;
  Candidate candidate;
  for (const Piece& piece : pieces_) {
    if (piece.group != group) continue;
    ours[static_cast<std::size_t>(piece.mark)] = 1;
    box = box.empty() ? piece.box : box | piece.box;
    candidate.pixels += piece.pixels;
  }
  sorted_.clear();
  const auto each = [&](auto&& visit) {
    for (int row = box.y; row < box.br().y; ++row) {
      for (int column = box.x; column < box.br().x; ++column) {
        const auto at = static_cast<std::size_t>(row * window.width + column);
        if (ours[static_cast<std::size_t>(marks_[at])] != 0) {
          visit(steps_[at], window.x + column, window.y + row);
        }
      }
    }
  };
  each([&](std::int16_t step, int, int) { sorted_.push_back(step); });
  const auto rank =
      static_cast<long>(kPlateau * static_cast<double>(sorted_.size() - 1));
  std::nth_element(sorted_.begin(), sorted_.begin() + rank, sorted_.end());
  const double plateau = sorted_[static_cast<std::size_t>(rank)];
  double sum = 0;
  Eigen::Vector2d mean = Eigen::Vector2d::Zero();
  Eigen::Matrix2d square = Eigen::Matrix2d::Zero();
  const Eigen::Vector2d origin(window.x + box.x, window.y + box.y);
  each([&](std::int16_t step, int u, int v) {
    candidate.light += step;
    const double weight = std::min<double>(step, kCut * plateau);
    const Eigen::Vector2d at = Eigen::Vector2d(u, v) - origin;
    sum += weight;
    mean += weight * at;
    square += weight * at * at.transpose();
  });
  mean /= sum;
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> axes(
      square / sum - mean * mean.transpose());
  const double across = std::max(axes.eigenvalues()(0), 0.5);
  const double along = std::max(axes.eigenvalues()(1), across);
  Streak& start = candidate.start;
  start.centre_px = mean + origin;
  candidate.limits = scale_.at(start.centre_px);
  candidate.own_radius_px = std::clamp(2 * std::sqrt(across),
                                       candidate.limits.least_diameter_px / 2,
                                       candidate.limits.most_diameter_px / 2);
  start.radius_px = candidate.limits.likely_diameter_px > 0
                        ? candidate.limits.likely_diameter_px / 2
                        : candidate.own_radius_px;
  const double length = std::sqrt(12 * (along - across));
  start.half_px = axes.eigenvectors().col(1) * std::max(length / 2, 0.5);
  candidate.step = sign_ * plateau / Background::kStepScale;
  candidate.light = sign_ * candidate.light / Background::kStepScale;
  return candidate;
}

}  // namespace evenfeed
