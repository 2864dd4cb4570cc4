// SPDX-License-Identifier: MIT
// Why each part of the measurement is there: the same sightings of a film,
// measured with one part left out at a time.
//
//   ablation PROFILE FILM_FOLDER...
//
// Each folder holds what `evenfeed simulate` wrote. The film is calibrated
// without its truth and looked at once, with the shutter's times as they are.
#include "bench/film_errors.h"
#include "calibration/calibrate_film.h"
#include "pipeline/measure.h"
#include "session/feeds_file.h"

#include <filesystem>

#include <Eigen/QR>
#include <fmt/format.h>

namespace evenfeed {
namespace {

namespace fs = std::filesystem;

struct Film {
  Bench bench;
  Profile profile;
  std::vector<Sighting> sightings;
  std::vector<Sighting> of_feeds;  ///< the truth's, `track` is the feed
  std::vector<Feed> truth;
};

Film look_at_film(const fs::path& folder, const Profile& profile) {
  Film film;
  film.profile = profile;
  const fs::path video = folder / "session.mp4";
  CalibrationOptions options;
  options.limits = profile.calibration;
  film.bench = calibrate_film(video, profile.surface, options).result.bench;
  const CameraModel real = load_bench(folder / "truth_bench.toml").camera;
  film.bench.camera.exposure_s = real.exposure_s;
  film.bench.camera.readout_s = real.readout_s;
  MeasureOptions measure;
  measure.keep_sightings = true;
  film.sightings = measure_film(video, film.bench, profile, measure).sightings;
  film.truth = read_feeds(CsvTable::read(folder / "truth.csv"));
  film.of_feeds = true_sightings(folder, 0.3);
  return film;
}

std::vector<Feed> measured(const Film& film) {
  return measure_sightings(film.sightings, film.bench, film.profile, {})
      .fit.feeds;
}

Film without_lens(Film film) {
  film.bench.camera.lens.k1 = film.bench.camera.lens.k2 = 0;
  return film;
}

Film without_row_times(Film film) {
  CameraModel& camera = film.bench.camera;
  for (Sighting& s : film.sightings) {
    s.t_s -= s.centre_px.y() / camera.height_px * camera.readout_or_zero_s();
  }
  camera.readout_s = 0;
  return film;
}

Film without_lift(Film film) {
  FlightOptions& flight = film.profile.flight;
  for (Prior* lift : {&flight.lift_in,
                      &flight.lift_out,
                      &flight.lift_any,
                      &flight.side_lift_in,
                      &flight.side_lift_out}) {
    lift->sd = 1e-4;
  }
  return film;
}

// As if a ball bounced with its centre on the surface.
Film with_centre_on_surface(Film film) {
  Pose& pose = film.bench.camera.camera_from_table;
  pose.translation_m -=
      pose.rotation * Eigen::Vector3d(0, 0, film.profile.flight.ball.radius_m);
  return film;
}

// Two straight lines in the surface's plane that meet: what a homography and a
// kink give.
struct Kink {
  double square_sum = std::numeric_limits<double>::infinity();
  double t_s = 0;
  Eigen::Vector2d at_m = Eigen::Vector2d::Zero();
};

Kink kink_at(const std::vector<double>& t_s,
             const std::vector<Eigen::Vector2d>& x_m,
             double t_b) {
  const auto n = static_cast<Eigen::Index>(t_s.size());
  Eigen::MatrixXd a = Eigen::MatrixXd::Zero(n, 3);
  Eigen::MatrixXd b(n, 2);
  for (Eigen::Index i = 0; i < n; ++i) {
    const auto k = static_cast<std::size_t>(i);
    a(i, 0) = 1;
    a(i, t_s[k] < t_b ? 1 : 2) = t_s[k] - t_b;
    b.row(i) = x_m[k].transpose();
  }
  const Eigen::MatrixXd solved = a.colPivHouseholderQr().solve(b);
  return {(a * solved - b).squaredNorm(), t_b, solved.row(0).transpose()};
}

std::vector<Feed> kinks(const Film& film) {
  constexpr double kBefore_s = 0.2, kAfter_s = 0.15, kNear_px = 8;
  std::vector<Feed> feeds;
  for (const Feed& real : film.truth) {
    std::vector<double> t_s;
    std::vector<Eigen::Vector2d> x_m;
    for (const Sighting& seen : film.sightings) {
      if (seen.t_s < real.t_bounce_s - kBefore_s ||
          seen.t_s > real.t_bounce_s + kAfter_s) {
        continue;
      }
      const bool ours = std::any_of(
          film.of_feeds.begin(), film.of_feeds.end(), [&](const Sighting& s) {
            return std::abs(s.t_s - seen.t_s) < 2e-3 &&
                   (s.centre_px - seen.centre_px).norm() < kNear_px;
          });
      const auto point = film.bench.camera.meet_plane(seen.centre_px, 0);
      if (!ours || !point) continue;
      t_s.push_back(seen.t_s);
      x_m.push_back(point->head<2>());
    }
    if (t_s.size() < 5) continue;
    Kink best;
    for (double t = t_s[1]; t < t_s[t_s.size() - 2]; t += 1e-3) {
      const Kink here = kink_at(t_s, x_m, t);
      if (here.square_sum < best.square_sum) best = here;
    }
    Feed feed;
    feed.number = real.number;
    feed.t_bounce_s = best.t_s;
    feed[Characteristic::kX].value = best.at_m.x() * 1e3;
    feed[Characteristic::kY].value = best.at_m.y() * 1e3;
    feed.status = FeedStatus::kMeasured;
    feeds.push_back(feed);
  }
  return feeds;
}

void print_row(const char* what,
               const std::vector<Feed>& truth,
               const std::vector<Feed>& feeds) {
  const Score score = compare(truth, feeds, {});
  fmt::print("  {:<28} {:3}", what, score.found);
  for (std::size_t c = 0; c < 3; ++c) {
    const auto& error = score.errors[c].error;
    if (error.size() < 3) continue;
    fmt::print(" |{:8.2f} {:7.2f}", mean(error), standard_deviation(error));
  }
  fmt::print("\n");
}

void report(const fs::path& folder, const Profile& profile) {
  const Film film = look_at_film(folder, profile);
  fmt::print("{}\n", folder.filename().string());
  print_row("complete", film.truth, measured(film));
  print_row(
      "lens without distortion", film.truth, measured(without_lens(film)));
  print_row(
      "all rows at one time", film.truth, measured(without_row_times(film)));
  print_row("no lift", film.truth, measured(without_lift(film)));
  print_row(
      "bounce at z = 0", film.truth, measured(with_centre_on_surface(film)));
  print_row("straight lines and a kink", film.truth, kinks(film));
}

}  // namespace
}  // namespace evenfeed

int main(int argc, char** argv) {
  using namespace evenfeed;
  if (argc < 3) {
    fmt::print(stderr, "usage: ablation PROFILE FILM_FOLDER...\n");
    return 2;
  }
  const Profile profile = load_profile(argv[1]);
  fmt::print("  {:<28} {:>3} |{:>8} {:>7} |{:>8} {:>7} |{:>8} {:>7}\n",
             "",
             "n",
             "x bias",
             "sd mm",
             "y bias",
             "sd mm",
             "t bias",
             "sd ms");
  for (int i = 2; i < argc; ++i) {
    report(std::filesystem::path(argv[i]), profile);
  }
}
