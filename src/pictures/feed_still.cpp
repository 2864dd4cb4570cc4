// SPDX-License-Identifier: MIT
#include "pictures/feed_still.h"

#include "base/check.h"
#include "film/video_source.h"
#include "pictures/drawing.h"
#include "pictures/jpeg.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include <opencv2/imgproc.hpp>

namespace evenfeed {
namespace {

constexpr double kMargin = 0.06;     // of the flight's extent
constexpr double kMostEnlarged = 2;  // of a flight that is small in the film
constexpr double kBounceBall_px = 44;
constexpr int kBounceHeight_px = 150;
constexpr double kSamePlace_px = 40;  // a knock moves a picture by less

double diameter_or(const Sighting& s, double otherwise) {
  return std::isfinite(s.diameter_px) ? s.diameter_px : otherwise;
}

// Of the sightings around the bounce, or of all.
double usual_diameter_px(const FlownFeed& feed) {
  std::vector<double> all;
  for (const Sighting& s : feed.sightings) {
    if (std::isfinite(s.diameter_px)) all.push_back(s.diameter_px);
  }
  return all.empty() ? 12 : median(all);
}

cv::Rect around(const Eigen::Vector2d& low,
                const Eigen::Vector2d& high,
                const cv::Size& picture) {
  const cv::Rect wanted(cv::Point(static_cast<int>(std::floor(low.x())),
                                  static_cast<int>(std::floor(low.y()))),
                        cv::Point(static_cast<int>(std::ceil(high.x())) + 1,
                                  static_cast<int>(std::ceil(high.y())) + 1));
  return wanted & cv::Rect({}, picture);
}

bool on_its_side(int rotation_deg) { return rotation_deg % 180 != 0; }

const FlownPoint* marked(const FlownFeed& feed, FlightMark mark) {
  for (const FlownPoint& point : feed.path) {
    if (point.mark == mark) return &point;
  }
  return nullptr;
}

// How far a pixel lies from the middle of a ball's streak.
double from_streak_px(const Eigen::Vector2d& pixel, const Sighting& s) {
  const double length2 = s.streak_px.squaredNorm();
  const Eigen::Vector2d away = pixel - s.centre_px;
  const double along =
      length2 > 0 ? std::clamp(away.dot(s.streak_px) / length2, -0.5, 0.5) : 0;
  return (away - along * s.streak_px).norm();
}

// The scene and whose ball each of its pixels shows.
class Strobe {
 public:
  explicit Strobe(const cv::Mat& scene)
      : scene_(scene),
        picture_(scene.clone()),
        far_px_(scene.size(), CV_32FC1) {
    far_px_.setTo(std::numeric_limits<float>::max());
  }

  // Each pixel shows the ball it is nearest to: what fades out around one must
  // not cover another.
  void paste(const BallCut& cut, const Sighting& s) {
    const double radius_px = diameter_or(s, cut.picture.rows / 1.8) / 2;
    const double whole_px = 1.15 * radius_px + 1;
    const double faded_px = 1.7 * radius_px + 2;
    const cv::Rect place(cut.corner_px, cut.picture.size());
    const cv::Rect inside = place & cv::Rect({}, scene_.size());
    for (int v = inside.y; v < inside.br().y; ++v) {
      const cv::Vec3b* from = cut.picture.ptr<cv::Vec3b>(v - place.y);
      const cv::Vec3b* behind = scene_.ptr<cv::Vec3b>(v);
      cv::Vec3b* to = picture_.ptr<cv::Vec3b>(v);
      float* nearest = far_px_.ptr<float>(v);
      for (int u = inside.x; u < inside.br().x; ++u) {
        const double far_px = from_streak_px({u, v}, s);
        if (far_px >= faded_px || far_px >= nearest[u]) continue;
        nearest[u] = static_cast<float>(far_px);
        const double share =
            std::min(1., (faded_px - far_px) / (faded_px - whole_px));
        for (int c = 0; c < 3; ++c) {
          to[u][c] = cv::saturate_cast<uchar>(share * from[u - place.x][c] +
                                              (1 - share) * behind[u][c]);
        }
      }
    }
  }

  const cv::Mat& picture() const { return picture_; }

 private:
  cv::Mat scene_, picture_, far_px_;
};

cv::Mat shown(const cv::Mat& scene, const PictureView& view) {
  const cv::Mat upright =
      turned_for_display(scene(view.area), view.rotation_deg);
  cv::Mat scaled;
  cv::resize(upright,
             scaled,
             view.size(),
             0,
             0,
             view.scale < 1 ? cv::INTER_AREA : cv::INTER_CUBIC);
  return scaled;
}

void draw_flight(cv::Mat& picture,
                 const FlownFeed& feed,
                 const PictureView& view) {
  for (const Leg leg : {Leg::kIn, Leg::kOut, Leg::kBack}) {
    std::vector<Eigen::Vector2d> places;
    for (const FlownPoint& point : feed.path) {
      if (point.leg == leg) places.push_back(view(point.place_px));
    }
    draw_thread(picture, places, colour_of(leg));
  }
}

void draw_marks(cv::Mat& picture,
                const FlownFeed& feed,
                const PictureView& view,
                double radius_px) {
  for (const FlownPoint& point : feed.path) {
    if (point.mark == FlightMark::kNone) continue;
    const Eigen::Vector2d at = view(point.place_px);
    const cv::Scalar colour = colour_of(point.leg);
    draw_mark(picture, point.mark, at, radius_px, colour);
    // Beside the flight: above where it is low in the picture.
    const double aside = at.y() > picture.rows - 40 ? -1.9 : 2.1;
    const double down = aside > 0 ? 10 : 0;
    draw_words(picture,
               std::string(mark_name(point.mark)),
               at + Eigen::Vector2d(-18, aside * radius_px + down),
               colour);
  }
}

cv::Mat bounce_picture(const cv::Mat& balls,
                       const FlownFeed& feed,
                       const PictureView& view,
                       double diameter_px) {
  cv::Mat picture = shown(balls, view);
  const Eigen::Vector2d at = view(marked(feed, FlightMark::kBounce)->place_px);
  // A small cross in place of a flight that would hide the ball.
  const double arm = 0.18 * diameter_px * view.scale;
  for (const Eigen::Vector2d& step :
       {Eigen::Vector2d(arm, 0), Eigen::Vector2d(0, arm)}) {
    draw_thread(picture, {at - step, at + step}, colour_of(Leg::kIn));
  }
  draw_words(picture, "bounce, enlarged", {8, 18}, colour_of(Leg::kIn));
  return picture;
}

// Coarser by as much as it is too large, then smaller.
std::string small_jpeg(const cv::Mat& picture, const StillOptions& options) {
  constexpr int kWorstQuality = 45;
  constexpr double kQualityPerShare = 45;
  constexpr int kSmallest_px = 64;
  cv::Mat smaller = picture;
  int quality = options.quality;
  for (;;) {
    std::string bytes = jpeg_of(smaller, quality);
    const double share = static_cast<double>(bytes.size()) / options.most_bytes;
    if (share <= 1 || smaller.cols < kSmallest_px) {
      return bytes;
    }
    if (quality == kWorstQuality) {
      cv::resize(smaller.clone(), smaller, {}, 0.85, 0.85, cv::INTER_AREA);
    } else {
      quality = std::max(
          kWorstQuality,
          quality - 3 - static_cast<int>(kQualityPerShare * (share - 1)));
    }
  }
}

}  // namespace

void StillOptions::check() const {
  require_in_range(width_px, 160, 4000, "width_px");
  require_in_range(most_bytes, 2000, 10'000'000, "most_bytes");
  require_in_range(quality, 50, 100, "quality");
}

cv::Size PictureView::size() const {
  const cv::Size turned = on_its_side(rotation_deg)
                              ? cv::Size(area.height, area.width)
                              : area.size();
  return {std::max(1, static_cast<int>(std::lround(scale * turned.width))),
          std::max(1, static_cast<int>(std::lround(scale * turned.height)))};
}

Eigen::Vector2d PictureView::operator()(const Eigen::Vector2d& film_px) const {
  // From the area's upper left corner, not from its first pixel's centre.
  const double u = film_px.x() - area.x + 0.5;
  const double v = film_px.y() - area.y + 0.5;
  Eigen::Vector2d turned(u, v);
  if (rotation_deg == 90) turned = {area.height - v, u};
  if (rotation_deg == 180) turned = {area.width - u, area.height - v};
  if (rotation_deg == 270) turned = {v, area.width - u};
  return scale * turned - Eigen::Vector2d(0.5, 0.5);
}

PictureView view_of_feed(const FlownFeed& feed,
                         const cv::Size& picture,
                         int rotation_deg,
                         const StillOptions& options) {
  Eigen::Vector2d low(picture.width, picture.height);
  Eigen::Vector2d high(0, 0);
  const auto include = [&](const Eigen::Vector2d& place_px, double around_px) {
    if (!place_px.allFinite()) return;
    low = low.cwiseMin((place_px.array() - around_px).matrix());
    high = high.cwiseMax((place_px.array() + around_px).matrix());
  };
  for (const Sighting& s : feed.sightings) {
    include(s.centre_px, diameter_or(s, 12) + s.streak_px.norm() / 2);
  }
  for (const FlownPoint& point : feed.path) include(point.place_px, 12);
  PictureView view;
  view.rotation_deg = rotation_deg;
  low = low.cwiseMax(Eigen::Vector2d(0, 0));
  high = high.cwiseMin(Eigen::Vector2d(picture.width, picture.height));
  // Not narrower than a third of its length: something to know the place by.
  Eigen::Vector2d size = (high - low).cwiseMax(Eigen::Vector2d(1, 1));
  const double longest = size.maxCoeff();
  const Eigen::Vector2d wanted =
      size.cwiseMax(Eigen::Vector2d::Constant(longest / 3)) +
      Eigen::Vector2d::Constant(2 * kMargin * longest);
  const Eigen::Vector2d middle = (low + high) / 2;
  view.area = around(middle - wanted / 2, middle + wanted / 2, picture);
  if (view.area.empty()) view.area = cv::Rect({}, picture);
  view.scale = std::min(kMostEnlarged,
                        static_cast<double>(options.width_px) /
                            std::max(view.area.width, view.area.height));
  return view;
}

std::optional<PictureView> view_of_bounce(const FlownFeed& feed,
                                          const cv::Size& picture,
                                          int rotation_deg,
                                          const cv::Size& size) {
  const FlownPoint* bounce = marked(feed, FlightMark::kBounce);
  if (bounce == nullptr) return std::nullopt;
  PictureView view;
  view.rotation_deg = rotation_deg;
  view.scale = std::max(1., kBounceBall_px / usual_diameter_px(feed));
  cv::Size2d part(size.width / view.scale, size.height / view.scale);
  if (on_its_side(rotation_deg)) std::swap(part.width, part.height);
  const cv::Size whole(
      std::min(picture.width, static_cast<int>(std::lround(part.width))),
      std::min(picture.height, static_cast<int>(std::lround(part.height))));
  const auto placed = [](double middle, int length, int most) {
    return std::clamp(
        static_cast<int>(std::lround(middle - length / 2.)), 0, most - length);
  };
  view.area = {placed(bounce->place_px.x(), whole.width, picture.width),
               placed(bounce->place_px.y(), whole.height, picture.height),
               whole.width,
               whole.height};
  const bool seen =
      view.area.contains({static_cast<int>(std::lround(bounce->place_px.x())),
                          static_cast<int>(std::lround(bounce->place_px.y()))});
  if (!seen || view.area.empty()) return std::nullopt;
  return view;
}

std::vector<BallCut> cuts_of_feed(const FlownFeed& feed,
                                  const std::vector<BallCut>& frames) {
  std::multimap<int, const BallCut*> by_frame;
  for (const BallCut& cut : frames) by_frame.emplace(cut.frame, &cut);
  std::vector<BallCut> found;
  for (const Sighting& s : feed.sightings) {
    const BallCut* best = nullptr;
    double nearest_px = kSamePlace_px;
    const auto [begin, end] = by_frame.equal_range(s.frame);
    for (auto it = begin; it != end; ++it) {
      const double far_px = (it->second->seen_px - s.centre_px).norm();
      if (far_px >= nearest_px) continue;
      nearest_px = far_px;
      best = it->second;
    }
    if (best == nullptr) continue;
    BallCut moved = *best;
    const Eigen::Vector2d by = s.centre_px - best->seen_px;
    moved.corner_px += cv::Point(static_cast<int>(std::lround(by.x())),
                                 static_cast<int>(std::lround(by.y())));
    moved.seen_px = s.centre_px;
    found.push_back(std::move(moved));
  }
  return found;
}

cv::Mat with_balls(const cv::Mat& scene,
                   const FlownFeed& feed,
                   const std::vector<BallCut>& cuts) {
  require(scene.type() == CV_8UC3, "with_balls: the scene is not in colour");
  Strobe strobe(scene);
  std::map<int, std::vector<const Sighting*>> by_frame;
  for (const Sighting& s : feed.sightings) by_frame[s.frame].push_back(&s);
  for (const BallCut& cut : cuts) {
    for (const Sighting* s : by_frame[cut.frame]) {
      if ((s->centre_px - cut.seen_px).norm() < 1e-6) strobe.paste(cut, *s);
    }
  }
  return strobe.picture();
}

std::string draw_feed(const cv::Mat& scene,
                      int rotation_deg,
                      const FlownFeed& feed,
                      const std::vector<BallCut>& cuts,
                      const StillOptions& options) {
  options.check();
  const cv::Mat balls = with_balls(scene, feed, cuts);
  const PictureView view =
      view_of_feed(feed, scene.size(), rotation_deg, options);
  const double diameter_px = usual_diameter_px(feed);
  cv::Mat still = shown(balls, view);
  draw_flight(still, feed, view);
  draw_marks(
      still, feed, view, std::clamp(0.8 * diameter_px * view.scale, 6., 22.));
  const cv::Size below(still.cols, kBounceHeight_px);
  if (const auto near =
          view_of_bounce(feed, scene.size(), rotation_deg, below)) {
    cv::Mat bounce = bounce_picture(balls, feed, *near, diameter_px);
    cv::resize(bounce, bounce, below, 0, 0, cv::INTER_LINEAR);
    const cv::Mat gap(6, still.cols, CV_8UC3, cv::Scalar::all(255));
    cv::vconcat(std::vector<cv::Mat>{still, gap, bounce}, still);
  }
  return small_jpeg(still, options);
}

}  // namespace evenfeed
