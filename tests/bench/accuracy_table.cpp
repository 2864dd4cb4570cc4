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
#include "base/csv.h"
#include "base/units.h"
#include "geometry/bench.h"
#include "geometry/sightings_file.h"
#include "pipeline/measure.h"
#include "session/feeds_file.h"
#include "vision/calibrate_film.h"

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

struct Column {
  const char* name;
  std::optional<Characteristic> id;  // none: the time of the bounce
  double scale;
};
const Column kColumns[] = {
    {"x mm", Characteristic::kX, 1},
    {"y mm", Characteristic::kY, 1},
    {"t ms", std::nullopt, 1e3},
    {"speed mm/s", Characteristic::kSpeedIn, 1e3},
    {"descent deg", Characteristic::kDescent, 1},
    {"kick /1000", Characteristic::kKick, 1e3},
};

Measured value_of(const Feed& feed, const Column& column) {
  if (column.id) return feed[*column.id];
  return {feed.t_bounce_s, feed.st_bounce_s};
}

struct Errors {
  std::vector<double> error;
  std::vector<double> normalised;
  std::vector<double> bound;

  static double mean(const std::vector<double>& v) {
    double sum = 0;
    for (const double x : v) sum += x;
    return sum / static_cast<double>(v.size());
  }
  static double sd(const std::vector<double>& v) {
    double sum = 0;
    for (const double x : v) sum += (x - mean(v)) * (x - mean(v));
    return std::sqrt(sum / (static_cast<double>(v.size()) - 1));
  }
  double rms_bound() const {
    double sum = 0;
    for (const double b : bound) sum += b * b;
    return std::sqrt(sum / static_cast<double>(bound.size()));
  }
};

// The bound of each feed, by its number: refit at the truth.
std::map<int, Feed> bounds(const fs::path& folder,
                           const Profile& profile,
                           double noise_px) {
  const Bench truth = load_bench(folder / "truth_bench.toml");
  const CsvTable table = CsvTable::read(folder / "truth_sightings.csv");
  const std::vector<Sighting> all = read_sightings(table, noise_px);
  std::map<int, std::vector<Sighting>> by_feed;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (table.text(i, table.require_column("kind")) == "feed") {
      by_feed[all[i].track].push_back(all[i]);
    }
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

struct Score {
  int true_feeds = 0;
  int found = 0;
  int spurious = 0;
  std::vector<Errors> errors = std::vector<Errors>(std::size(kColumns));
};

// Feeds are matched by the time of the bounce, each once, both ways.
Score compare(const std::vector<Feed>& truth,
              const std::vector<Feed>& measured,
              const std::map<int, Feed>& bound) {
  constexpr double kSameFeed_s = 0.12;
  Score score;
  std::vector<char> taken(measured.size(), 0);
  for (const Feed& real : truth) {
    const bool in_view = real.status == FeedStatus::kMeasured &&
                         real.note.find("out of view") == std::string::npos;
    score.true_feeds += in_view;
    std::size_t best = measured.size();
    double best_gap = kSameFeed_s;
    for (std::size_t i = 0; i < measured.size(); ++i) {
      const double gap = std::abs(measured[i].t_bounce_s - real.t_bounce_s);
      if (!taken[i] && gap < best_gap) {
        best_gap = gap;
        best = i;
      }
    }
    if (best == measured.size()) continue;
    taken[best] = 1;
    if (!in_view) continue;
    ++score.found;
    for (std::size_t c = 0; c < std::size(kColumns); ++c) {
      const Measured got = value_of(measured[best], kColumns[c]);
      const double error = got.value - value_of(real, kColumns[c]).value;
      if (!std::isfinite(error)) continue;
      score.errors[c].error.push_back(error * kColumns[c].scale);
      score.errors[c].normalised.push_back(error / got.sigma);
      if (const auto it = bound.find(real.number); it != bound.end()) {
        score.errors[c].bound.push_back(
            value_of(it->second, kColumns[c]).sigma * kColumns[c].scale);
      }
    }
  }
  score.spurious = static_cast<int>(
      std::count(taken.begin(), taken.end(), static_cast<char>(0)));
  return score;
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
  std::vector<double> rms;
  for (const Feed& feed : measurement.fit.feeds) {
    if (std::isfinite(feed.rms_px)) rms.push_back(feed.rms_px);
  }
  std::sort(rms.begin(), rms.end());
  const double noise_px = rms.empty() ? 0.3 : rms[rms.size() / 2];
  const Score score = compare(read_feeds(CsvTable::read(folder / "truth.csv")),
                              measurement.fit.feeds,
                              bounds(folder, profile, noise_px));
  fmt::print("{}: {} of {} feeds found, {} spurious, residual {:.2f} px\n",
             name,
             score.found,
             score.true_feeds,
             score.spurious,
             noise_px);
  for (std::size_t c = 0; c < std::size(kColumns); ++c) {
    const Errors& errors = score.errors[c];
    if (errors.error.size() < 3) continue;
    const double sd = Errors::sd(errors.error);
    const double bound = errors.rms_bound();
    fmt::print("  {:<12} {:9.2f} {:8.2f} {:8.2f} {:6.2f} {:8.2f}\n",
               kColumns[c].name,
               Errors::mean(errors.error),
               sd,
               bound,
               sd / bound,
               Errors::sd(errors.normalised));
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
  fmt::print("  {:<12} {:>9} {:>8} {:>8} {:>6} {:>8}\n",
             "",
             "bias",
             "sd",
             "bound",
             "ratio",
             "err/sig");
  for (int i = 2; i < argc; ++i) {
    report(std::filesystem::path(argv[i]), profile);
  }
}
