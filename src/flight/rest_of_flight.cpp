// SPDX-License-Identifier: MIT
#include "flight/rest_of_flight.h"

#include "flight/even_motion.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <utility>

namespace evenfeed {
namespace {

// A track begins anew this long after the other one ended at the latest, and
// may overlap it a little.
constexpr double kLongestGap_s = 0.3;
constexpr double kOverlap_s = 0.02;
constexpr std::size_t kFewest = 3;
// As while feeds are looked for: shutter times are not known yet.
constexpr double kSigma_px = 0.3;

double last_speed_px(const std::vector<Sighting>& sightings) {
  constexpr std::size_t kLast = 4;
  const Sighting& last = sightings.back();
  const Sighting& before =
      sightings[sightings.size() - std::min(kLast, sightings.size())];
  const double span_s = last.t_s - before.t_s;
  return span_s > 0 ? (last.centre_px - before.centre_px).norm() / span_s : 0;
}

// A bounce bends the way and changes the speed, but not beyond measure.
bool may_carry_on(const std::vector<Sighting>& piece,
                  const std::vector<Sighting>& rest,
                  const CameraModel& camera) {
  constexpr double kFaster = 2;
  constexpr double kPart = 0.03;  // of the picture
  if (rest.size() < kFewest || piece.empty()) return false;
  const double gap_s = rest.front().t_s - piece.back().t_s;
  if (gap_s < -kOverlap_s || gap_s > kLongestGap_s) return false;
  const double reach_px = kPart * std::max(camera.width_px, camera.height_px) +
                          kFaster * last_speed_px(piece) * std::max(0., gap_s);
  return (rest.front().centre_px - piece.back().centre_px).norm() < reach_px;
}

// A bounce does not send the ball back; the sample does.
bool goes_on(const FlightVector& p) {
  constexpr double kLeast = 0.2;  // of its speed along the table
  return p[kVelocityOut] > kLeast * p[kVelocityIn];
}

// What feeds that are whole are like; nothing where they are too few to say.
struct UsualStart {
  double speed_mps = 0;
  double before = 0;  // sightings before the bounce
  double reduced_chi2 = 1;
};

// Shutter times that are not known yet are seen in every feed alike.
double most_chi2(const std::optional<UsualStart>& usual) {
  constexpr double kMost = 3;
  return kMost * std::max(1., usual ? usual->reduced_chi2 : 1.);
}

std::optional<UsualStart> usual_start_of(const std::vector<FoundFeed>& found) {
  constexpr std::size_t kFewestFeeds = 5;
  std::vector<double> speeds, before, chi2;
  for (const FoundFeed& feed : found) {
    if (!feed.whole()) continue;
    speeds.push_back(feed.fit.parameters.segment<3>(kVelocityIn).norm());
    before.push_back(feed.fit.before);
    chi2.push_back(reduced_chi2(feed.fit));
  }
  if (speeds.size() < kFewestFeeds) return std::nullopt;
  return UsualStart{median(speeds), median(before), median(chi2)};
}

// A ball that rolls and jumps about the net is not as fast as a feed, and not
// seen as often on its way.
bool like_others(const FlightFit& fit, const std::optional<UsualStart>& usual) {
  constexpr double kLeast = 0.5, kMost = 2;
  if (!usual) return true;
  const double speed_mps = fit.parameters.segment<3>(kVelocityIn).norm();
  return speed_mps > kLeast * usual->speed_mps &&
         speed_mps < kMost * usual->speed_mps &&
         fit.before > kLeast * usual->before;
}

// The two together, when they are one flight whose bounce the rest has shown;
// what flies on after it is left over.
struct Whole {
  FoundFeed feed;
  Track after;
};

std::optional<Whole> together(const FoundFeed& piece,
                              const std::vector<Sighting>& rest,
                              const CameraModel& camera,
                              const FlightOptions& options,
                              const std::optional<UsualStart>& usual) {
  constexpr double kShare = 0.7;  // of the rest's sightings on the flight
  constexpr double kOfPiece = 0.85;
  Whole whole;
  std::vector<Sighting>& sightings = whole.feed.sightings;
  sightings = merged_in_time(piece.sightings, rest);
  std::vector<Sighting> cautious = sightings;
  for (Sighting& s : cautious) s.sigma_px = std::max(s.sigma_px, kSigma_px);
  whole.feed.fit = fit_flight(cautious, camera, options);
  const FlightFit& fit = whole.feed.fit;
  if (!whole.feed.whole() || !goes_on(fit.parameters) ||
      !like_others(fit, usual) || reduced_chi2(fit) > most_chi2(usual)) {
    return std::nullopt;
  }
  std::size_t flown = 0, of_piece_used = 0, of_rest = 0, of_rest_used = 0;
  for (; flown < sightings.size() && sightings[flown].t_s <= fit.end_s;
       ++flown) {
    if (sightings[flown].t_s <= piece.sightings.back().t_s) {
      of_piece_used += fit.used[flown] != 0;
      continue;
    }
    ++of_rest;
    of_rest_used += fit.used[flown] != 0;
  }
  if (fit.inliers() < kShare * static_cast<double>(flown) ||
      static_cast<double>(of_piece_used) <
          kOfPiece * static_cast<double>(piece.sightings.size()) ||
      static_cast<double>(of_rest_used) <
          kShare * static_cast<double>(of_rest) ||
      of_rest_used < kFewest - 1) {
    return std::nullopt;
  }
  whole.after.sightings.assign(
      sightings.begin() + static_cast<std::ptrdiff_t>(flown), sightings.end());
  sightings.resize(flown);
  whole.feed.fit.used.resize(flown);
  return whole;
}

void become(Whole whole, FoundFeed& piece) {
  piece.sightings = std::move(whole.feed.sightings);
  piece.fit = std::move(whole.feed.fit);
  if (whole.after.sightings.size() >= kFewest) {
    piece.returned.push_back(std::move(whole.after));
  }
}

// Takes the first of the candidates that completes the piece; its place.
template <typename Candidates, typename SightingsOf>
std::optional<std::size_t> complete(FoundFeed& piece,
                                    const Candidates& candidates,
                                    const SightingsOf& sightings_of,
                                    const CameraModel& camera,
                                    const FlightOptions& options,
                                    const std::optional<UsualStart>& usual) {
  constexpr int kMostTried = 8;  // in noise everything may carry on
  int tried = 0;
  for (std::size_t i = 0; i < candidates.size() && tried < kMostTried; ++i) {
    const std::vector<Sighting>& rest = sightings_of(candidates[i]);
    if (&rest == &piece.sightings ||
        !may_carry_on(piece.sightings, rest, camera) || !moves_evenly(rest)) {
      continue;
    }
    ++tried;
    auto whole = together(piece, rest, camera, options, usual);
    if (!whole) continue;
    become(std::move(*whole), piece);
    return i;
  }
  return std::nullopt;
}

// The way to the bounce may have looked like no launch, or like a whole flight
// that turns at its last sightings: the place of the candidate before the piece
// that makes it whole.
template <typename Candidates>
std::optional<std::size_t> begin(FoundFeed& piece,
                                 const Candidates& candidates,
                                 const CameraModel& camera,
                                 const FlightOptions& options,
                                 const std::optional<UsualStart>& usual) {
  for (std::size_t i = 0; i < candidates.size(); ++i) {
    FoundFeed first;
    first.sightings = candidates[i].sightings;
    if (!may_carry_on(first.sightings, piece.sightings, camera) ||
        !moves_evenly(first.sightings)) {
      continue;
    }
    auto whole = together(first, piece.sightings, camera, options, usual);
    if (!whole) continue;
    become(std::move(*whole), piece);
    return i;
  }
  return std::nullopt;
}

void take_out(std::vector<Track>& tracks, std::size_t place) {
  tracks.erase(tracks.begin() + static_cast<std::ptrdiff_t>(place));
}

}  // namespace

int take_in_rests(std::vector<FoundFeed>& found,
                  std::vector<Track>& strays,
                  const CameraModel& camera,
                  const FlightOptions& options) {
  const auto of_track = [](const Track& track) -> const auto& {
    return track.sightings;
  };
  static const std::vector<Sighting> kNone;
  const auto of_piece = [](const FoundFeed& feed) -> const auto& {
    return feed.whole() ? kNone : feed.sightings;
  };
  const auto usual = usual_start_of(found);
  std::vector<char> taken(found.size(), 0);
  for (FoundFeed& piece : found) {
    if (piece.whole() || !piece.fit.ok() ||
        reduced_chi2(piece.fit) > most_chi2(usual)) {
      continue;  // no part of a flight
    }
    const std::vector<Track> back = piece.returned;
    if (const auto i =
            complete(piece, back, of_track, camera, options, usual)) {
      take_out(piece.returned, *i);
    } else if (const auto k =
                   complete(piece, strays, of_track, camera, options, usual)) {
      take_out(strays, *k);
    } else if (const auto other =
                   complete(piece, found, of_piece, camera, options, usual)) {
      taken[*other] = 1;
      piece.take_returned_of(found[*other]);
      found[*other].sightings.clear();
    } else if (const auto stray =
                   begin(piece, strays, camera, options, usual)) {
      take_out(strays, *stray);
    } else if (const auto before =
                   begin(piece, found, camera, options, usual)) {
      taken[*before] = 1;
      piece.take_returned_of(found[*before]);
      found[*before].sightings.clear();
    }
  }
  return drop_marked(found, taken);
}

}  // namespace evenfeed
