// SPDX-License-Identifier: MIT
// How well films are measured, from the film alone, beside what is possible.
//
//   accuracy_table PROFILE [--sound] FILM_FOLDER...
//
// Each folder holds what `evenfeed simulate` wrote. The film is calibrated and
// measured without its truth; then every feed is compared with it. The bound
// beside each sd is the Cramer-Rao bound with the profile's priors: the fit's
// covariance at the true sightings and the true camera, for the centroid noise
// the measurement found. With --sound each film is measured once more with its
// sound, and the bound is that of bounces that are heard to 0.3 ms as well.
#include "bench/film_errors.h"
#include "calibration/calibrate_film.h"
#include "flight/heard_bounce.h"
#include "geometry/bench.h"
#include "pipeline/measure.h"
#include "session/feeds_file.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <map>
#include <string>
#include <vector>

#include <fmt/format.h>

namespace evenfeed {
namespace {

namespace fs = std::filesystem;

constexpr double kHeardTo_s = 3e-4;  // what a tick is usually good for

// The bound of each feed, by its number: refit at the truth.
std::map<int, Feed> bounds(const fs::path& folder,
                           const Profile& profile,
                           double noise_px,
                           bool with_sound) {
  const Bench truth = load_bench(folder / "truth_bench.toml");
  std::map<int, std::vector<Sighting>> by_feed;
  for (const Sighting& s : true_sightings(folder, noise_px)) {
    by_feed[s.track].push_back(s);
  }
  std::map<int, Feed> result;
  for (auto& [number, sightings] : by_feed) {
    // The return is not part of the feed's two arcs.
    const auto turn = std::adjacent_find(
        sightings.begin(), sightings.end(), [&](const auto& a, const auto& b) {
          const auto from = truth.camera.meet_plane(a.centre_px, 0.15);
          const auto to = truth.camera.meet_plane(b.centre_px, 0.15);
          return from && to && to->x() < from->x();
        });
    if (turn != sightings.end()) sightings.erase(turn + 1, sightings.end());
    FlightFit fit = fit_flight(sightings, truth.camera, profile.flight);
    if (with_sound && fit.ok()) {
      fit = with_heard_bounce(fit,
                              sightings,
                              truth.camera,
                              profile.flight,
                              fit.parameters[kTimeOfBounce],
                              kHeardTo_s)
                .fit;
    }
    if (fit.ok()) result[number] = derive_feed(fit, profile.flight, {});
  }
  return result;
}

void report_errors(const Score& score, const SessionFit& fit) {
  for (std::size_t c = 0; c < std::size(kColumns); ++c) {
    const Errors& errors = score.errors[c];
    if (errors.error.size() < 3) continue;
    const double sd = standard_deviation(errors.error);
    const double bound = errors.rms_bound();
    const double common =
        kColumns[c].scale *
        (kColumns[c].id
             ? fit.common.sigma[static_cast<std::size_t>(*kColumns[c].id)]
             : fit.common.st_bounce_s);
    double worst = 0;
    for (const double z : errors.normalised()) {
      worst = std::max(worst, std::abs(z));
    }
    fmt::print(
        "  {:<12} {:9.2f} {:8.2f} {:8.2f} {:6.2f} {:8.2f} {:6.1f} "
        "{:8.2f}\n",
        kColumns[c].name,
        mean(errors.error),
        sd,
        bound,
        sd / bound,
        Errors::rms(errors.normalised()),
        worst,
        errors.normalised_mean(common));
  }
}

void report_measured(const fs::path& folder,
                     const Profile& profile,
                     const Bench& bench,
                     bool with_sound) {
  const std::string name = folder.filename().string();
  MeasureOptions options;
  options.bench_of_this_film = true;
  options.listen = with_sound;
  const Measurement measurement =
      measure_film(folder / "session.mp4", bench, profile, options);
  const SessionFit& fit = measurement.fit;
  std::vector<double> rms;
  for (const Feed& feed : fit.feeds) {
    if (std::isfinite(feed.rms_px)) rms.push_back(feed.rms_px);
  }
  std::sort(rms.begin(), rms.end());
  const double noise_px = rms.empty() ? 0.3 : rms[rms.size() / 2];
  const Score score = compare(read_feeds(CsvTable::read(folder / "truth.csv")),
                              fit.feeds,
                              bounds(folder, profile, noise_px, with_sound));
  fmt::print(
      "{}{}: {} of {} feeds found, {} spurious, residual {:.2f} px, {} in "
      "their 95 % ellipse\n",
      name,
      with_sound ? ", heard" : "",
      score.found,
      score.true_feeds,
      score.spurious,
      noise_px,
      score.in_ellipse);
  if (fit.heard) {
    fmt::print(
        "  {} of {} bounces heard, sound {:.2f} ms late, {:.1f} ppm; {}\n",
        fit.heard->heard,
        fit.heard->expected,
        1e3 * fit.heard->clock.offset_s,
        1e6 * fit.heard->clock.drift,
        fit.heard->why_not);
  }
  if (fit.heard_contacts) {
    fmt::print("  {} of {} contacts heard, {:.2f} ms late; {}\n",
               fit.heard_contacts->heard,
               fit.heard_contacts->expected,
               1e3 * fit.heard_contacts->late_s,
               fit.heard_contacts->why_not);
  }
  report_errors(score, fit);
}

void report(const fs::path& folder, const Profile& profile, bool with_sound) {
  const fs::path film = folder / "session.mp4";
  CalibrationOptions options;
  options.limits = profile.calibration;
  const FilmCalibration calibration =
      calibrate_film(film, profile.surface, options);
  const std::string name = folder.filename().string();
  if (!calibration.result.done()) {
    fmt::print("{}: not calibrated: {}\n", name, calibration.result.message);
    return;
  }
  const Bench& bench = calibration.result.bench;
  report_measured(folder, profile, bench, false);
  if (with_sound) report_measured(folder, profile, bench, true);
}

}  // namespace
}  // namespace evenfeed

int main(int argc, char** argv) {
  using namespace evenfeed;
  const bool with_sound = argc > 2 && std::string(argv[2]) == "--sound";
  const int first = with_sound ? 3 : 2;
  if (argc <= first) {
    fmt::print(stderr,
               "usage: accuracy_table PROFILE [--sound] FILM_FOLDER...\n");
    return 2;
  }
  const Profile profile = load_profile(argv[1]);
  fmt::print("  {:<12} {:>9} {:>8} {:>8} {:>6} {:>8} {:>6} {:>8}\n",
             "",
             "bias",
             "sd",
             "bound",
             "ratio",
             "err/sig",
             "worst",
             "bias/sig");
  for (int i = first; i < argc; ++i) {
    report(std::filesystem::path(argv[i]), profile, with_sound);
  }
}
