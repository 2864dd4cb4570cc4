// SPDX-License-Identifier: MIT
// The truth of a film: every ball's path, every feed's numbers.
#pragma once

#include "simulate/ball_path.h"

#include <cstdint>
#include <limits>
#include <vector>

namespace evenfeed {

/// One feed as it really was. Vectors in the table frame, SI. What did not
/// happen is NaN.
struct TrueFeed {
  static constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
  int number = 0;  ///< 1, 2, ... in order of launch
  bool misfeed = false;
  bool bounced = false;          ///< on the receiving half
  bool near_half_first = false;  ///< touched the launcher's half before
  bool touched_net = false;
  bool bounce_in_view = false;  ///< the bounce lies in the picture
  double t_launch_s = kNone;
  double t_bounce_s = kNone;
  Eigen::Vector3d launch_m = Eigen::Vector3d::Constant(kNone);
  /// Ball centre at the first bounce on the receiving half, z = radius.
  Eigen::Vector3d bounce_m = Eigen::Vector3d::Constant(kNone);
  Eigen::Vector3d v_launch_mps = Eigen::Vector3d::Constant(kNone);
  Eigen::Vector3d v_in_mps = Eigen::Vector3d::Constant(kNone);
  Eigen::Vector3d v_out_mps = Eigen::Vector3d::Constant(kNone);
  Eigen::Vector3d spin_radps = Eigen::Vector3d::Constant(kNone);
  /// After the bounce the ball's skin touches the sample's plane: time and
  /// centre of the ball, whether or not a sample is there to be hit.
  bool contact = false;
  bool hit_sample = false;
  double t_contact_s = kNone;
  Eigen::Vector3d contact_m = Eigen::Vector3d::Constant(kNone);
  double path_length_m = kNone;  ///< launcher exit to contact
  /// After a hit: velocity just after, highest point (none when it does not
  /// rise), the moment and place at the net's plane, landing on the table.
  Eigen::Vector3d v_return_mps = Eigen::Vector3d::Constant(kNone);
  Eigen::Vector3d return_apex_m = Eigen::Vector3d::Constant(kNone);
  double t_return_net_s = kNone;
  Eigen::Vector3d return_net_m = Eigen::Vector3d::Constant(kNone);
  Eigen::Vector3d return_landing_m = Eigen::Vector3d::Constant(kNone);
};

enum class BallKind { kFeed, kTableStray, kFloorStray };

struct TrueBall {
  int id = 0;  ///< feeds first, in order, then strays
  BallKind kind = BallKind::kFeed;
  BallPath path;
};

/// Every ball of the film; the first launches().size() of them are the feeds.
std::vector<TrueBall> true_balls(const Scene& scene, std::uint64_t seed);

/// Every feed of the film, read off the balls' paths.
std::vector<TrueFeed> true_feeds(const Scene& scene, std::uint64_t seed);

}  // namespace evenfeed
