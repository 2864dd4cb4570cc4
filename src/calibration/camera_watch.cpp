// SPDX-License-Identifier: MIT
#include "calibration/camera_watch.h"

#include "base/check.h"
#include "geometry/steady_view.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <utility>

namespace evenfeed {
namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();
constexpr std::size_t kFirstLooks = 5;
constexpr std::size_t kEachSide = 2;  // looks around the one that is judged
constexpr std::size_t kFewestFound = 3;
constexpr double kSigmas = 4;  // less is the noise of a look

// Site by site over the looks; NaN where half of them or more found nothing.
std::vector<double> median_offsets(
    const std::vector<std::vector<double>>& looks) {
  std::vector<double> medians;
  for (std::size_t site = 0; site < looks.front().size(); ++site) {
    std::vector<double> seen;
    for (const auto& offsets : looks) {
      if (std::isfinite(offsets[site])) seen.push_back(offsets[site]);
    }
    medians.push_back(2 * seen.size() > looks.size()
                          ? median(seen)
                          : std::numeric_limits<double>::quiet_NaN());
  }
  return medians;
}

}  // namespace

void WatchOptions::check() const {
  require_positive(every_s, "every_s");
  require_positive(least_move_m, "least_move_m");
  require_positive(least_start_m, "least_start_m");
  sites.check();
}

CameraWatch::CameraWatch(const CameraModel& calibrated,
                         const Surface& surface,
                         const WatchOptions& options)
    : options_(options), sites_(surface, options.sites), held_(calibrated) {
  options.check();
}

void CameraWatch::add_frame(const cv::Mat& luma, double t_s) {
  if (state_ == State::kBlind || t_s < next_look_s_) return;
  next_look_s_ = t_s + options_.every_s;
  if (state_ == State::kBeginning) {
    begin(luma, t_s);
    return;
  }
  looks_.push_back({t_s, find(luma)});
  judge_ready(kEachSide);
}

// Places are chosen in the first picture; what the first few agree on is how
// the lines look when nothing has moved.
void CameraWatch::begin(const cv::Mat& luma, double t_s) {
  if (beginning_.times_s.empty() && !sites_.choose(luma, held_)) {
    state_ = State::kBlind;
    return;
  }
  beginning_.times_s.push_back(t_s);
  beginning_.offsets_px.push_back(sites_.offsets_px(luma, held_));
  if (beginning_.times_s.size() == kFirstLooks) end_beginning();
}

void CameraWatch::end_beginning() {
  const Beginning first = std::exchange(beginning_, {});
  const std::vector<double> usual_px = median_offsets(first.offsets_px);
  const auto stood = sites_.solve(held_, usual_px);
  if (!stood) {
    state_ = State::kBlind;
    return;
  }
  const double off_m =
      shift_at_table_m(held_, stood->camera, sites_.places_m());
  if (!began_again_ &&
      off_m > std::max(options_.least_start_m, kSigmas * stood->sigma_m)) {
    // It was moved since it was calibrated: begin again from there.
    began_again_ = true;
    stand(0, stood->camera);
    return;
  }
  sites_.set_zero(usual_px);
  state_ = State::kWatching;
  for (std::size_t i = 0; i < first.times_s.size(); ++i) {
    looks_.push_back(
        {first.times_s[i], sites_.solve(held_, first.offsets_px[i])});
  }
  judge_ready(kEachSide);
}

// A search of the whole picture is slow: after 2, 4, 8, ... looks in vain.
std::optional<FoundCamera> CameraWatch::find(const cv::Mat& luma) {
  auto found = sites_.find(luma, held_);
  if (!found && nearby_) found = sites_.find(luma, *nearby_);
  if (!found) {
    ++lost_looks_;
    const bool again = lost_looks_ > 1 &&
                       std::has_single_bit(static_cast<unsigned>(lost_looks_));
    if (again) found = sites_.find_far(luma, held_);
  }
  if (!found) return found;
  lost_looks_ = 0;
  nearby_ = found->camera;
  return found;
}

void CameraWatch::stand(double from_s, const CameraModel& camera) {
  news_.stances.push_back(
      {from_s, camera, shift_at_table_m(held_, camera, sites_.places_m())});
  held_ = camera;
}

// Of the looks [from, to), the one nearest to the others tells how the camera
// stood at `at`.
void CameraWatch::judge(std::size_t at, std::size_t from, std::size_t to) {
  const FoundCamera* middle = nullptr;
  double least_m = kInfinity;
  std::size_t count = 0;
  for (std::size_t i = from; i < to; ++i) {
    if (!looks_[i].found) continue;
    ++count;
    double sum_m = 0;
    for (std::size_t j = from; j < to; ++j) {
      if (!looks_[j].found) continue;
      sum_m += shift_at_table_m(
          looks_[i].found->camera, looks_[j].found->camera, sites_.places_m());
    }
    if (sum_m >= least_m) continue;
    least_m = sum_m;
    middle = &*looks_[i].found;
  }
  if (count == 0) lost_at_s_.push_back(looks_[at].t_s);
  if (count < std::min(kFewestFound, to - from)) return;
  const double moved_m =
      shift_at_table_m(held_, middle->camera, sites_.places_m());
  if (moved_m < std::max(options_.least_move_m, kSigmas * middle->sigma_m)) {
    return;
  }
  stand(at == 0 ? 0 : (looks_[at - 1].t_s + looks_[at].t_s) / 2,
        middle->camera);
}

void CameraWatch::judge_ready(std::size_t looks_after) {
  while (next_ + looks_after < looks_.size()) {
    judge(next_,
          next_ - std::min(next_, kEachSide),
          std::min(next_ + kEachSide + 1, looks_.size()));
    measure_sway(looks_[next_]);
    if (next_ + 1 < looks_.size()) {
      news_.settled_until_s = (looks_[next_].t_s + looks_[next_ + 1].t_s) / 2;
    }
    if (next_ == kEachSide) {
      looks_.pop_front();
    } else {
      ++next_;
    }
  }
}

void CameraWatch::measure_sway(const Look& look) {
  if (!look.found) {
    sway_.miss();
    return;
  }
  Eigen::Vector2d seen_px(0, 0), held_px(0, 0);
  int count = 0;
  for (const Eigen::Vector3d& place_m : sites_.places_m()) {
    const auto seen = look.found->camera.project(place_m);
    const auto held = held_.project(place_m);
    if (!seen || !held) continue;
    seen_px += *seen;
    held_px += *held;
    ++count;
  }
  if (count == 0) return;
  const double px_per_m = held_.lens.focal_px / held_.eye_in_table_m().norm();
  sway_.add(look.t_s,
            seen_px / count,
            held_px / count,
            px_per_m * look.found->sigma_m);
}

void CameraWatch::finish() {
  if (state_ == State::kBeginning &&
      beginning_.times_s.size() >= kFewestFound) {
    end_beginning();
  }
  judge_ready(0);
  news_.settled_until_s = kInfinity;
}

WatchNews CameraWatch::take_news() {
  WatchNews news = news_;
  if (state_ == State::kBlind) news.settled_until_s = kInfinity;
  news_.stances.clear();
  return news;
}

}  // namespace evenfeed
