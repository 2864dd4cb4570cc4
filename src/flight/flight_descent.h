// SPDX-License-Identifier: MIT
// One way down from a start to the flight that explains the sightings best:
// least squares with Cauchy weights over those near the flight.
#pragma once

#include "flight/trajectory_fit.h"

namespace evenfeed {

inline constexpr std::size_t kFewestSightings = 4;

/// A fit that holds nothing but the reason.
FlightFit no_flight(FitStatus status, std::string message);

/// The limit to what is near tightens as the fit settles, so that a rough start
/// does not throw good sightings away. What it is given must outlive it.
class FlightDescent {
 public:
  FlightDescent(const std::vector<Sighting>& sightings,
                const CameraModel& camera,
                const FlightOptions& options,
                const FlightVector& start)
      : sightings_(sightings), camera_(camera), options_(options), p_(start) {}

  /// Minimises over the sightings within `factor` times the outlier limit,
  /// reweighting `rounds` times. False: see problem().
  bool settle(double factor, int rounds);

  double cost() const { return flight_cost(sightings_, camera_, options_, p_); }
  const FlightVector& parameters() const { return p_; }

  /// After it settled at factor 1.
  FlightFit result() const;
  /// Why it did not settle.
  const FlightFit& problem() const { return problem_; }

 private:
  void minimise(double scale, int rounds, int iterations);
  void reweight(double scale);
  FlightCovariance covariance() const;
  void end_at_next_touch();
  bool passes_below(const FlightFit& fit) const;
  bool turns_beside_table(const FlightFit& fit) const;

  const std::vector<Sighting>& sightings_;
  const CameraModel& camera_;
  const FlightOptions& options_;
  FlightVector p_;
  std::vector<char> used_;
  std::vector<Sighting> chosen_;
  std::vector<double> weights_;  // of those
  bool goes_through_ = false;    // as far as it was seen, through the table
  FlightFit problem_;
};

}  // namespace evenfeed
