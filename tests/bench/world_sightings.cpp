// SPDX-License-Identifier: MIT
#include "bench/world_sightings.h"

#include "bench/draws.h"

#include <cmath>
#include <optional>

namespace evenfeed {
namespace {

constexpr double kBelow_m = -0.10;

class Looker {
 public:
  explicit Looker(const RandomWorld& world)
      : world_(world),
        camera_(world.scene.camera.model),
        eye_m_(camera_.eye_in_table_m()),
        draws_(world.seed, "world sightings"),
        images_(world.seed, "world images"),
        specks_(world.seed, "world specks") {}

  void look_at_ball(const WorldBall& ball,
                    std::vector<Sighting>& all,
                    SeenCount& count) {
    const double fps = world_.scene.camera.fps;
    const BallPath& path = ball.path;
    const int first = static_cast<int>(std::ceil(path.start_s() * fps));
    const int last = static_cast<int>(std::floor(path.end_s() * fps));
    for (int frame = std::max(first, 0); frame <= last; ++frame) {
      const auto seen = see(path, frame, Shown::kBall);
      if (seen) add_image(path, frame, seen->sighting, all);
      if (!seen || draws_.chance(world_.eyes.missed_share)) continue;
      all.push_back(noisy(seen->sighting, draws_));
      if (!ball.feed) continue;
      const bool before = !(seen->t_s > ball.t_first_touch_s);
      count.before += before;
      const bool after = !before && !(seen->t_s > ball.t_second_touch_s);
      count.after += after;
      count.below += after && seen->z_m < kBelow_m;
    }
  }

  // A launcher shakes while it throws.
  void add_specks(const WorldBall& ball, std::vector<Sighting>& all) {
    constexpr double kBefore_s = 0.1, kAfter_s = 0.3, kAround = 2;
    if (!ball.feed || world_.eyes.shake_share <= 0) return;
    const auto mouth_px = camera_.project(ball.truth.launch_m);
    if (!mouth_px) return;
    const double diameter_px = diameter_at(ball.truth.launch_m);
    const double fps = world_.scene.camera.fps, t_s = ball.truth.t_launch_s;
    for (int frame = std::max(0, static_cast<int>((t_s - kBefore_s) * fps));
         frame < (t_s + kAfter_s) * fps;
         ++frame) {
      if (!specks_.chance(world_.eyes.shake_share)) continue;
      Sighting s;
      const double around_px = kAround * diameter_px;
      s.centre_px = *mouth_px + Eigen::Vector2d(specks_.normal(around_px),
                                                specks_.normal(around_px));
      if (!camera_.in_picture(s.centre_px)) continue;
      s.diameter_px = diameter_px * specks_.log_even(0.5, 1.2);
      s.streak_px = {specks_.normal(1), specks_.normal(1)};
      put_frame(frame, s);
      all.push_back(s);
    }
  }

  // Things that look like balls, anywhere, for one frame.
  void add_strays(double until_s, std::vector<Sighting>& all) {
    const double per_frame = world_.eyes.strays_per_frame;
    if (per_frame <= 0) return;
    const int frames = static_cast<int>(until_s * world_.scene.camera.fps);
    const double diameter_px = diameter_at({0.7, 0, 0.1});
    for (int frame = 0; frame < frames; ++frame) {
      if (!draws_.chance(per_frame)) continue;
      Sighting s;
      s.centre_px = {draws_.even(0, camera_.width_px - 1),
                     draws_.even(0, camera_.height_px - 1)};
      s.diameter_px = diameter_px * draws_.log_even(0.7, 1.4);
      s.streak_px = {draws_.normal(1), draws_.normal(1)};
      put_frame(frame, s);
      all.push_back(s);
    }
  }

 private:
  enum class Shown { kBall, kImage };

  struct Seen {
    double t_s;
    double z_m;
    Sighting sighting;
  };

  // Of its image in the table, where that is seen.
  void add_image(const BallPath& path,
                 int frame,
                 const Sighting& ball,
                 std::vector<Sighting>& all) {
    constexpr double kFainter = 0.5;
    if (!images_.chance(world_.eyes.image_share)) return;
    const auto image = see(path, frame, Shown::kImage);
    if (!image) return;
    Sighting s = image->sighting;
    const double apart_px = (s.centre_px - ball.centre_px).norm();
    if (apart_px < ball.diameter_px) return;  // one blob, seen as the ball
    s.contrast *= kFainter;
    all.push_back(noisy(s, images_));
  }

  std::optional<Eigen::Vector2d> point(const BallPath& path,
                                       double t_s,
                                       Shown shown) const {
    const auto ball = path.at(t_s);
    if (!ball) return std::nullopt;
    Eigen::Vector3d x_m = ball->x_m;
    if (shown == Shown::kImage) x_m.z() *= -1;
    if (hidden(x_m) != (shown == Shown::kImage)) return std::nullopt;
    return camera_.project(x_m);
  }

  // Below the table's top and behind it.
  bool hidden(const Eigen::Vector3d& x_m) const {
    if (x_m.z() >= 0) return false;
    const double part = eye_m_.z() / (eye_m_.z() - x_m.z());
    return world_.scene.surface.contains(
        (eye_m_ + part * (x_m - eye_m_)).head<2>());
  }

  double diameter_at(const Eigen::Vector3d& x_m) const {
    const Eigen::Vector3d c = camera_.camera_from_table * x_m;
    const double r2 = (c.head<2>() / c.z()).squaredNorm();
    const LensModel<double>& lens = camera_.lens;
    return 2 * world_.scene.ball.radius_m * lens.focal_px *
           (1 + r2 * (lens.k1 + r2 * lens.k2)) / c.z();
  }

  std::optional<Seen> see(const BallPath& path, int frame, Shown shown) const {
    const double t_frame_s = frame / world_.scene.camera.fps;
    double row_px = camera_.height_px / 2.0;
    double t_s = 0;
    for (int i = 0; i < 6; ++i) {
      t_s = camera_.mid_exposure_s(t_frame_s, row_px);
      const auto middle = point(path, t_s, shown);
      if (!middle) return std::nullopt;
      row_px = middle->y();
      if (camera_.readout_or_zero_s() == 0) break;
    }
    constexpr int kParts = 9;
    Eigen::Vector2d sum(0, 0), first(0, 0), last(0, 0);
    for (int i = 0; i < kParts; ++i) {
      const double off_s =
          ((i + 0.5) / kParts - 0.5) * camera_.exposure_or_zero_s();
      const auto one = point(path, t_s + off_s, shown);
      if (!one) return std::nullopt;
      sum += *one;
      if (i == 0) first = *one;
      last = *one;
    }
    Seen seen{t_s, path.at(t_s)->x_m.z(), {}};
    Sighting& s = seen.sighting;
    s.centre_px = sum / kParts;
    if (!camera_.in_picture(s.centre_px)) return std::nullopt;
    s.streak_px = (last - first) * kParts / (kParts - 1.);
    s.diameter_px = diameter_at(path.at(t_s)->x_m);
    s.cut_off = !camera_.in_picture(s.centre_px,
                                    (s.diameter_px + s.streak_px.norm()) / 2);
    put_frame(frame, s);
    return seen;
  }

  void put_frame(int frame, Sighting& s) const {
    s.frame = frame;
    s.sigma_px = world_.eyes.noise_px * world_.eyes.stated_factor;
    s.contrast = 60;
  }

  Sighting noisy(Sighting s, Draws& draws) const {
    constexpr double kOutlier_px = 6;
    constexpr double kStreakNoise = 1.5;  // of an end, over the centre's
    double noise_px = world_.eyes.noise_px;
    if (s.cut_off) {
      noise_px *= 2;
      s.sigma_px *= 2;
    }
    s.streak_px += kStreakNoise * Eigen::Vector2d(draws.normal(noise_px),
                                                  draws.normal(noise_px));
    if (draws.chance(0.5)) s.streak_px *= -1;
    s.diameter_px += 2 * draws.normal(noise_px);
    if (draws.chance(world_.eyes.outlier_share)) noise_px = kOutlier_px;
    s.centre_px +=
        Eigen::Vector2d(draws.normal(noise_px), draws.normal(noise_px));
    return s;
  }

  const RandomWorld& world_;
  const CameraModel& camera_;
  Eigen::Vector3d eye_m_;
  Draws draws_, images_, specks_;
};

}  // namespace

WorldSightings look(const RandomWorld& world,
                    const std::vector<WorldBall>& balls) {
  Looker looker(world);
  WorldSightings result;
  double end_s = 0;
  for (const WorldBall& ball : balls) {
    result.seen.emplace_back();
    looker.look_at_ball(ball, result.sightings, result.seen.back());
    looker.add_specks(ball, result.sightings);
    end_s = std::max(end_s, ball.path.end_s());
  }
  looker.add_strays(end_s, result.sightings);
  const CameraModel& told = world.bench.camera;
  for (Sighting& s : result.sightings) {
    s.t_s =
        told.mid_exposure_s(s.frame / world.scene.camera.fps, s.centre_px.y());
  }
  return result;
}

}  // namespace evenfeed
