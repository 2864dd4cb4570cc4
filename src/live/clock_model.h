// SPDX-License-Identifier: MIT
// When the frames of a camera were taken, from stamps that jitter. A camera
// takes a picture every T seconds by its own clock; what is known of each is a
// stamp (of arrival, of the driver, of the network's protocol) that comes late
// by something that changes, and pictures get lost on the way:
//
//   stamp_k = a + T n_k + delay_k,   n_k: which of the camera's pictures it was
//
// n_k is one more than n_(k-1), and more where pictures were lost. Which, is
// decided by the probability of all numberings of the frames that wait (a
// hidden Markov chain: losses are rare, delays have heavy tails), forwards and
// backwards, so a frame that is late is told from one that was lost by those
// after it. A frame waits only as long as its number is not sure: with a small
// jitter not at all, else no longer than `longest_wait` frames; what is then
// still open is said to be doubtful and is better not measured.
//
// a and T come from least squares with Tukey's weights over the last
// `window_s`. Times increase always. The error stated is that of the line at
// its end, from the scatter and the memory of the residuals, not the scatter
// itself, which is the network's. A delay that all frames share is in a: it
// moves all times alike, and nobody can see it.
#pragma once

#include <deque>
#include <limits>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

struct ClockOptions {
  double window_s = 30;     ///< older frames are not asked any more
  int fewest = 60;          ///< frames before the first time is told: of fewer,
                            ///< one that is lost moves the usual step
  int renew_every = 10;     ///< frames
  int longest_wait = 16;    ///< frames
  double sure = 0.9998;     ///< probability of a number that need not wait
  double doubtful = 0.998;  ///< of one that is told and not doubted
  double lost_share = 0.02;  ///< expected
  /// Refused when times are known no better: at 10 m/s two milliseconds are
  /// 20 mm along the table.
  double hopeless_error_s = 2e-3;
  double hopeless_lost = 0.25;      ///< share of lost pictures
  double hopeless_doubtful = 0.25;  ///< share of doubtful ones

  void check() const;
};

struct FrameTime {
  double t_s = 0;  ///< on the stamps' clock
  int lost = 0;    ///< pictures missing before this one
  bool doubtful = false;
};

class ClockModel {
 public:
  /// `rate_hz`: what the source says; 0: found from the stamps.
  explicit ClockModel(double rate_hz, const ClockOptions& options = {});

  /// The next frame, in the order of their coming. Gives the times of frames
  /// that waited, in order, each once; often one, that of this very frame.
  [[nodiscard]] std::vector<FrameTime> add(double stamp_s);
  /// No more frames: the times of those that wait.
  [[nodiscard]] std::vector<FrameTime> finish();

  /// Standard error of the last times; NaN before the first line.
  [[nodiscard]] double error_s() const { return error_s_; }
  /// Robust scatter of the stamps about the line.
  [[nodiscard]] double jitter_s() const { return jitter_s_; }
  [[nodiscard]] double period_s() const { return period_s_; }
  [[nodiscard]] int lost() const { return lost_; }
  /// What is wrong and what to do, when the clock is of no use; else empty.
  [[nodiscard]] std::string hopeless() const;

 private:
  struct Point {
    double number = 0;
    double stamp_s = 0;
  };
  struct Placed {
    double number = 0;
    double probability = 0;
  };
  /// The pictures that a frame may be: first, first + 1, ...
  struct Candidates {
    double first = 0;
    double stamp_s = 0;
    std::vector<double> forward;   ///< log probability, from the past
    std::vector<double> backward;  ///< and of the future
  };
  double line_s(double number) const;
  double cost(double stamp_s, double number) const;
  double cost_behind(double before_s,
                     double before_number,
                     double stamp_s,
                     double number) const;
  bool begin_line();
  void better_first_line();
  std::vector<Candidates> chain_of_waiting() const;
  static std::vector<Placed> placed(const std::vector<Candidates>& chain);
  static Candidates kept(const Candidates& all);
  std::vector<FrameTime> tell(bool all);
  void fit_line();
  void state_error();

  ClockOptions options_;
  double period_s_ = 0;
  double believed_period_s_ = 0;  // said, or of the first frames
  double origin_s_ = 0;           // stamp of the line at origin_number_
  double origin_number_ = 0;
  double error_s_ = std::numeric_limits<double>::quiet_NaN();
  double jitter_s_ = std::numeric_limits<double>::quiet_NaN();
  bool begun_ = false;
  std::deque<double> waiting_;  // stamps without a number
  std::deque<Point> points_;
  Candidates last_;  // of the last frame told; what it was stays open
  double last_number_ = -1;
  std::optional<double> last_t_s_;
  int told_ = 0;
  int lost_ = 0;
  int doubtful_ = 0;
  int since_fit_ = 0;
};

}  // namespace evenfeed
