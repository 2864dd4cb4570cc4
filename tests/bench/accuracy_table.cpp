// SPDX-License-Identifier: MIT
// How well films are measured, from the film alone, beside what is possible.
//
//   accuracy_table PROFILE FILM_FOLDER...
//
// Each folder holds what `evenfeed simulate` wrote. The film is calibrated and
// measured without its truth; then every feed is compared with it. The bound
// beside each sd is the Cramer-Rao bound with the profile's priors: the fit's
// covariance at the true sightings and the true camera, for the centroid noise
// the measurement found.
#include "calibration/calibrate_film.h"
#include "geometry/bench.h"
#include "pipeline/measure.h"
#include "session/feeds_file.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <map>
#include <string>
#include <vector>

#include "bench/film_errors.h"
#include <fmt/format.h>

namespace evenfeed {
namespace {

namespace fs = std::filesystem;

// The bound of each feed, by its number: refit at the truth.
std::map<int, Feed> bounds(const fs::path& folder,
                           const Profile& profile,
                           double noise_px) {
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
    const FlightFit fit = fit_flight(sightings, truth.camera, profile.flight);
    if (fit.ok()) result[number] = derive_feed(fit, profile.flight, {});
  }
  return result;
}

void report(const fs::path& folder, const Profile& profile) {
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
  const Measurement measurement =
      measure_film(film, calibration.result.bench, profile, {});
  const SessionFit& fit = measurement.fit;
  std::vector<double> rms;
  for (const Feed& feed : fit.feeds) {
    if (std::isfinite(feed.rms_px)) rms.push_back(feed.rms_px);
  }
  std::sort(rms.begin(), rms.end());
  const double noise_px = rms.empty() ? 0.3 : rms[rms.size() / 2];
  const Score score = compare(read_feeds(CsvTable::read(folder / "truth.csv")),
                              fit.feeds,
                              bounds(folder, profile, noise_px));
  fmt::print(
      "{}: {} of {} feeds found, {} spurious, residual {:.2f} px, {} in their "
      "95 % ellipse\n",
      name,
      score.found,
      score.true_feeds,
      score.spurious,
      noise_px,
      score.in_ellipse);
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
    fmt::print("  {:<12} {:9.2f} {:8.2f} {:8.2f} {:6.2f} {:8.2f} {:8.2f}\n",
               kColumns[c].name,
               mean(errors.error),
               sd,
               bound,
               sd / bound,
               Errors::rms(errors.normalised()),
               errors.normalised_mean(common));
  }
}

}  // namespace
}  // namespace evenfeed

int main(int argc, char** argv) {
  using namespace evenfeed;
  if (argc < 3) {
    fmt::print(stderr, "usage: accuracy_table PROFILE FILM_FOLDER...\n");
    return 2;
  }
  const Profile profile = load_profile(argv[1]);
  fmt::print("  {:<12} {:>9} {:>8} {:>8} {:>6} {:>8} {:>8}\n",
             "",
             "bias",
             "sd",
             "bound",
             "ratio",
             "err/sig",
             "bias/sig");
  for (int i = 2; i < argc; ++i) {
    report(std::filesystem::path(argv[i]), profile);
  }
}
