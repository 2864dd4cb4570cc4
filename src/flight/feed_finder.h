// SPDX-License-Identifier: MIT
// Explains every track as a feed, a return or a stray. A feed comes from the
// launcher's end, flies towards the receiving end and lands once on the
// table; whatever looks like one but cannot be fitted is still a feed, with
// the reason why it has no numbers.
#pragma once

#include "flight/track.h"
#include "flight/trajectory_fit.h"
#include "geometry/surface.h"

#include <iterator>
#include <optional>
#include <utility>
#include <vector>

namespace evenfeed {

struct FinderOptions {
  double slowest_mps = 1.5;           ///< along the table, of a feed
  double shortest_path_m = 0.35;      ///< along the table, seen
  double lowest_descent_rad = 0.035;  ///< a rolling ball does not descend
  double join_gap_s = 0.30;  ///< pieces of one feed are no further apart
  double settle_s = 1.0;     ///< a track is explained this long after its end,
  double longest_wait_s = 4.0;    ///< later while what may carry on is in view
  double landing_margin_m = 1.0;  ///< beyond the table a landing is computed
  double used_share = 0.5;  ///< of the sightings until its end, on the flight
  /// No sighting is trusted more than this at first: shutter times, which one
  /// feed cannot tell, move it by some tenths of a pixel.
  double least_sigma_px = 0.3;

  void check() const;
};

/// A feed before the session's common quantities are known.
struct FoundFeed {
  std::vector<Sighting> sightings;  ///< the track, in order of time
  FlightFit fit;                    ///< ok(), or the reason in its message
  std::vector<Track> returned;      ///< what may have come back from it

  /// Fitted, and both sides of the bounce were seen.
  bool whole() const { return fit.ok() && fit.bounce_seen(); }
  /// Seen three times or more after it: two sightings lie on some flight.
  bool well_seen() const { return whole() && fit.after >= 3; }

  /// Of a piece that is this feed's ball: what came back from it did from here.
  void take_returned_of(FoundFeed& piece) {
    returned.insert(returned.end(),
                    std::make_move_iterator(piece.returned.begin()),
                    std::make_move_iterator(piece.returned.end()));
    piece.returned.clear();
  }

  /// Calls change(sighting) for those of the feed and of what came back.
  template <typename Change>
  void for_each_sighting(const Change& change) {
    for (Sighting& s : sightings) change(s);
    for (Track& track : returned) {
      for (Sighting& s : track.sightings) change(s);
    }
  }
};

/// Takes the feeds that are marked out; how many.
int drop_marked(std::vector<FoundFeed>& found, const std::vector<char>& marked);

struct TrackCounts {
  int feeds = 0;
  int returns = 0;
  int strays = 0;
};

class FeedFinder {
 public:
  FeedFinder(const CameraModel& camera,
             const Surface& surface,
             const FlightOptions& flight,
             const FinderOptions& options);

  /// Takes tracks as they end, in any order.
  void add(std::vector<Track> tracks);
  /// Explains what ended settle_s before now_s and returns the feeds found.
  /// What still moves since `open_since_s` may be the rest of a track that
  /// ended then.
  [[nodiscard]] std::vector<FoundFeed> advance(double now_s,
                                               double open_since_s);
  /// Explains everything left.
  [[nodiscard]] std::vector<FoundFeed> finish();
  /// As if it had been given nothing yet.
  void forget();
  /// What a track is, as far as it was seen, without waiting for what may
  /// belong to it: a feed that was fitted, or nothing. Nothing is kept.
  [[nodiscard]] std::optional<FoundFeed> look(const Track& track) const;
  const TrackCounts& counts() const { return counts_; }
  /// The returns explained so far, once each.
  std::vector<Track> take_returns() { return std::exchange(returns_, {}); }
  /// The strays explained so far, once each: a launch may be among them.
  std::vector<Track> take_strays() { return std::exchange(strays_, {}); }

 private:
  enum class Kind { kFeed, kBrokenFeed, kReturn, kStray };

  Kind explain_at_length(Track& track, FlightFit& fit) const;
  Kind explain(const Track& track, FlightFit& fit) const;
  FlightFit cautious_fit(const Track& track) const;
  bool is_feed(const FlightFit& fit, const Track& track) const;
  bool surely_forwards(const FlightFit& fit, const Track& track) const;
  bool follows_feed(const Track& track) const;
  bool comes_from_launcher(const FlightFit& fit) const;
  bool lands_like_a_feed(const FlightFit& fit, const Track& track) const;
  void join_pieces(Track& track);
  void keep_stray(Track track);
  [[nodiscard]] std::vector<FoundFeed> take_until(double last_end_s);

  const CameraModel& camera_;
  const Surface& surface_;
  const FlightOptions& flight_;
  FinderOptions options_;
  std::vector<Track> waiting_;
  std::vector<Track> returns_;
  std::vector<Track> strays_;
  static constexpr double kLongAgo_s = -1e9;
  double last_feed_end_s_ = kLongAgo_s;
  TrackCounts counts_;
};

}  // namespace evenfeed
