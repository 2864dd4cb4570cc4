// SPDX-License-Identifier: MIT
// The whole way of one ball: flight, bounces on table, floor and sample, the
// net, rolling, until it is caught, leaves the hall or its time is over.
#pragma once

#include "simulate/ball_motion.h"

#include <optional>
#include <vector>

namespace evenfeed {

enum class BallEventKind {
  kTable,
  kFloor,
  kSample,       ///< met the sample and turned back
  kSamplePlane,  ///< passed the plane where the sample would be
  kNet,
};

struct BallEvent {
  BallEventKind kind = BallEventKind::kTable;
  double t_s = 0;
  MovingBall before;
  MovingBall after;
};

/// Positions over time; t counts from the film's first frame.
class BallPath {
 public:
  double start_s() const { return samples_.front().t_s; }
  double end_s() const { return samples_.back().t_s; }
  /// nullopt before the start and after the end.
  std::optional<MovingBall> at(double t_s) const;
  const std::vector<BallEvent>& events() const { return events_; }
  /// Length of the way from one time to another.
  double length_m(double from_s, double to_s) const;
  /// The same path with a straight piece of `run_s` at launch speed before it.
  BallPath with_run_up(double run_s) const;

 private:
  friend class BallTracer;
  struct Sample {
    double t_s = 0;
    MovingBall state;
  };
  std::vector<Sample> samples_;  // t never falls; twice the same at a contact
  std::vector<BallEvent> events_;
};

/// Where the ball may go.
struct World {
  Surface surface;
  BallPhysics ball;
  SampleOptions sample;
  double catch_x_m = 1e9;  ///< a ball beyond this is taken out
};

World world_of(const Scene& scene);

/// Outward normal of the sample's face (towards the launcher).
Eigen::Vector3d sample_normal(const SampleOptions& sample);

/// Follows a ball from `start` at `start_s` for at most `life_s`.
BallPath trace_ball(const World& world,
                    const MovingBall& start,
                    double start_s,
                    double life_s);

}  // namespace evenfeed
