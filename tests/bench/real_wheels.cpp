// SPDX-License-Identifier: MIT
// Real flights and real bounces, measured through invented cameras.
//
//   EVENFEED_REAL_DATA=DIR build/tests/bench/real_wheels [--sound]
//
// --sound: each bounce is heard as well, to 0.3 ms, by a clock that is 50 ms
// late, which the session has to find.
//
// DIR holds wheels_trajectories.csv and wheels_feeds.csv: 178 Hz multi-camera
// tracks of a three-wheel launcher (open data, BSD-3, of a research group; not
// part of this project). Each trajectory is projected into a camera at a frame
// rate, 0.3 px of noise is added, and the sightings are measured like any
// other, each launcher setting as one session. The truth is the bounce in space
// (recorded_bounce.h). Prints of the bounce
//   bias, sd      over all flights;
//   stated        mean own sigma;
//   err/s         sd of (error minus the session's mean error) / own sigma;
//   in 95 %       share of landings in their ellipse about that mean;
//   mean/s        rms over the sessions of mean error / its sigma, which is
//                 s(bench) and own sigma / root n: of x and y together;
// and "false": bounces measured where the recording ends in the air.
#include "base/csv.h"
#include "base/random.h"
#include "base/toml_file.h"
#include "base/units.h"
#include "bench/film_errors.h"
#include "bench/recorded_bounce.h"
#include "flight/session_fit.h"

#include <cmath>
#include <cstdlib>
#include <map>
#include <string>
#include <vector>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr double kNoise_px = 0.3;
constexpr double kTableShift_m = 1.4;  // their x = 0 is near the launcher

struct Flight {
  std::string setting;
  std::vector<double> t_s;
  std::vector<Eigen::Vector3d> x_m;  // table frame
  double bounce_t_s = 0;  // as listed; NaN when the recording has none
  std::optional<RecordedBounce> bounce;

  bool ends_in_the_air() const {
    const auto lowest = std::min_element(
        x_m.begin(), x_m.end(), [](const auto& a, const auto& b) {
          return a.z() < b.z();
        });
    return lowest + 1 == x_m.end();
  }
};

std::vector<Flight> load_flights(const std::string& folder, double r_m) {
  const CsvTable feeds = CsvTable::read(folder + "/wheels_feeds.csv");
  const CsvTable tracks = CsvTable::read(folder + "/wheels_trajectories.csv");
  std::map<std::pair<std::string, int>, Flight> all;
  for (std::size_t r = 0; r < feeds.rows(); ++r) {
    const auto cell = [&](const char* name) {
      return feeds.number(r, feeds.require_column(name)).value_or(NAN);
    };
    Flight flight;
    flight.setting = feeds.text(r, feeds.require_column("setting"));
    const bool seen =
        feeds.text(r, feeds.require_column("land_method")) == "bounce_fit";
    flight.bounce_t_s = seen ? cell("bounce_t_s") : NAN;
    all[{flight.setting, static_cast<int>(cell("traj"))}] = flight;
  }
  // Ball-centre height at contact in the recording's frame.
  const double lift = 0.759 - r_m;
  const auto column = [&](const char* n) { return tracks.require_column(n); };
  for (std::size_t r = 0; r < tracks.rows(); ++r) {
    const std::pair key{
        tracks.text(r, column("setting")),
        static_cast<int>(tracks.require_number(r, column("traj")))};
    Flight& flight = all.at(key);
    flight.t_s.push_back(tracks.require_number(r, column("t_s")));
    flight.x_m.emplace_back(
        tracks.require_number(r, column("x_m")) - kTableShift_m,
        tracks.require_number(r, column("y_m")),
        tracks.require_number(r, column("z_m")) - lift);
  }
  std::vector<Flight> flights;
  for (auto& [key, flight] : all) {
    if (std::isfinite(flight.bounce_t_s)) {
      flight.bounce =
          bounce_in_space(flight.t_s, flight.x_m, flight.bounce_t_s, r_m);
    }
    flights.push_back(std::move(flight));
  }
  return flights;
}

CameraModel bench_camera(double side_deg) {
  CameraModel camera;
  camera.width_px = 1920;
  camera.height_px = 1080;
  camera.lens = {1000, 959.5, 539.5, 0, 0};
  const double side = 2.5 * std::tan(rad_from_deg(side_deg));
  camera.camera_from_table =
      look_at({0.57, side, 2.5},
              {0.4, 0, 0},
              {0, side_deg > 5 ? 0. : 1., side_deg > 5 ? 1. : 0.});
  return camera;
}

// Linear between recorded points (sagitta below 0.1 mm); the two points
// around the bounce are not bridged.
bool position(const Flight& flight, double t, Eigen::Vector3d& x) {
  const auto after = std::upper_bound(flight.t_s.begin(), flight.t_s.end(), t);
  if (after == flight.t_s.begin() || after == flight.t_s.end()) return false;
  const std::size_t i = static_cast<std::size_t>(after - flight.t_s.begin());
  const double a = flight.t_s[i - 1];
  const double b = flight.t_s[i];
  if (b - a > 0.02) return false;
  if (flight.bounce && a <= flight.bounce->t_s && flight.bounce->t_s <= b) {
    return false;
  }
  x = flight.x_m[i - 1] +
      (flight.x_m[i] - flight.x_m[i - 1]) * (t - a) / (b - a);
  return true;
}

std::vector<Sighting> sightings_of(const Flight& flight,
                                   const CameraModel& camera,
                                   double fps,
                                   RandomEngine& random) {
  std::normal_distribution<double> noise(0, kNoise_px);
  const double phase = std::uniform_real_distribution<double>(0, 1)(random);
  std::vector<Sighting> all;
  for (double t = flight.t_s.front() + phase / fps; t < flight.t_s.back();
       t += 1 / fps) {
    Eigen::Vector3d x;
    if (!position(flight, t, x)) continue;
    const auto point = camera.project(x);
    if (!point || !camera.in_picture(*point)) continue;
    Sighting s;
    s.t_s = t;
    s.centre_px = *point + Eigen::Vector2d(noise(random), noise(random));
    s.sigma_px = kNoise_px;
    all.push_back(s);
  }
  return all;
}

// Errors of one quantity, session by session.
struct Tally {
  std::vector<Errors> sessions;

  void add(double error, double sigma) {
    sessions.back().error.push_back(error);
    sessions.back().sigma.push_back(sigma);
  }
  std::string text() const {
    Errors all;
    std::vector<double> normalised;
    const auto append = [](std::vector<double>& to, const auto& from) {
      to.insert(to.end(), from.begin(), from.end());
    };
    for (const Errors& session : sessions) {
      append(all.error, session.error);
      append(all.sigma, session.sigma);
      if (session.error.size() > 1) append(normalised, session.normalised());
    }
    return fmt::format("{:7.2f} {:6.2f} {:6.2f} {:5.2f}",
                       mean(all.error),
                       standard_deviation(all.error),
                       mean(all.sigma),
                       Errors::rms(normalised));
  }
};

// Flights of one setting make a session; they are set apart in time, as if
// filmed one after the other.
constexpr double kApart_s = 10;

// Every bounce ticks, and nothing else does.
Ear ear_of(const std::vector<const Flight*>& flights,
           const CameraModel& camera,
           const std::string& stream) {
  constexpr double kHeardTo_s = 3e-4;
  constexpr double kLate_s = 0.05;
  Ear ear;
  ear.microphone_m = camera.eye_in_table_m();
  for (std::size_t i = 0; i < flights.size(); ++i) {
    const auto& bounce = flights[i]->bounce;
    if (!bounce) continue;
    RandomEngine random = derived_engine(1, stream + "/sound", i);
    std::normal_distribution<double> noise_s(0, kHeardTo_s);
    const Eigen::Vector3d touches_m(bounce->x_m.x(), bounce->x_m.y(), 0);
    const double travel_s =
        (touches_m - ear.microphone_m).norm() / ear.hearing.speed_of_sound_mps;
    Tick tick;
    tick.t_s = bounce->t_s + kApart_s * static_cast<double>(i) -
               flights[i]->t_s.front() + travel_s + kLate_s + noise_s(random);
    tick.sigma_s = kHeardTo_s;
    tick.strength_db = 25;
    tick.band_share = {0.3, 0.3, 0.4};
    ear.ticks.push_back(tick);
  }
  return ear;
}

SessionFit session_of(const std::vector<const Flight*>& flights,
                      const Bench& bench,
                      const FlightOptions& options,
                      double fps,
                      const std::string& stream,
                      bool with_sound) {
  std::vector<FoundFeed> found;
  SessionFitOptions session;
  if (with_sound) session.ear = ear_of(flights, bench.camera, stream);
  for (std::size_t i = 0; i < flights.size(); ++i) {
    RandomEngine random = derived_engine(1, stream, i);
    FoundFeed feed;
    feed.sightings = sightings_of(*flights[i], bench.camera, fps, random);
    if (feed.sightings.empty()) continue;
    for (Sighting& s : feed.sightings) {
      s.t_s += kApart_s * static_cast<double>(i) - flights[i]->t_s.front();
    }
    feed.fit = fit_flight(feed.sightings, bench.camera, options);
    found.push_back(std::move(feed));
  }
  return fit_session(std::move(found), bench, options, {}, session);
}

struct Row {
  Tally x, y, t;
  std::vector<double> rho;  // of the feeds in x and y, in order
  double mean2 = 0;         // of session means, in sigmas
  std::string worst = "-";  // session, by its mean error of x
  double worst_mm = 0;
  int means = 0, measured = 0, extrapolated = 0, failed = 0, invented = 0;

  void add(const Feed& feed, const Flight& flight, double offset_s) {
    failed += feed.status == FeedStatus::kUnmeasured;
    extrapolated += feed.status == FeedStatus::kExtrapolated;
    measured += feed.status == FeedStatus::kMeasured;
    if (feed.status != FeedStatus::kMeasured) return;
    invented += flight.ends_in_the_air();
    if (!flight.bounce) return;
    x.add(feed[Characteristic::kX].value - mm_from_m(flight.bounce->x_m.x()),
          feed[Characteristic::kX].sigma);
    y.add(feed[Characteristic::kY].value - mm_from_m(flight.bounce->x_m.y()),
          feed[Characteristic::kY].sigma);
    t.add(ms_from_s(feed.t_bounce_s - offset_s - flight.bounce->t_s),
          ms_from_s(feed.st_bounce_s));
    rho.push_back(feed.rho_xy);
  }

  void close_session(const SessionFit& fit, const std::string& setting) {
    const Errors& along = x.sessions.back();
    if (along.error.empty()) return;
    const auto judge = [&](const Errors& errors, Characteristic id) {
      const double z = errors.normalised_mean(
          fit.common.sigma[static_cast<std::size_t>(id)]);
      mean2 += z * z;
      ++means;
    };
    judge(along, Characteristic::kX);
    judge(y.sessions.back(), Characteristic::kY);
    const double off_mm = mean(along.error);
    if (std::abs(off_mm) > std::abs(worst_mm)) {
      worst_mm = off_mm;
      worst = fmt::format(
          "{} {:.1f} mm, {} feeds", setting, off_mm, along.error.size());
    }
  }

  double share_in_ellipse() const {
    double inside = 0, all = 0;
    auto rho_of = rho.begin();
    for (std::size_t s = 0; s < x.sessions.size(); ++s) {
      const std::size_t feeds = x.sessions[s].error.size();
      const auto a = x.sessions[s].normalised();
      const auto b = y.sessions[s].normalised();
      for (std::size_t i = 0; i < feeds; ++i, ++rho_of) {
        if (feeds < 2) continue;  // it is its own mean
        inside += in_ellipse(a[i], b[i], *rho_of);
        all += 1;
      }
    }
    return inside / all;
  }
};

void run(const std::vector<Flight>& flights,
         const FlightOptions& options,
         double side_deg,
         double fps,
         bool with_sound) {
  Bench bench;
  bench.camera = bench_camera(side_deg);
  bench.camera.readout_s = 0;  // all rows at once
  std::map<std::string, std::vector<const Flight*>> settings;
  for (const Flight& flight : flights) {
    settings[flight.setting].push_back(&flight);
  }
  Row row;
  for (const auto& [setting, members] : settings) {
    const std::string stream =
        fmt::format("real_wheels/{}/{}/{}", setting, side_deg, fps);
    const SessionFit fit =
        session_of(members, bench, options, fps, stream, with_sound);
    if (with_sound && !fit.heard->agrees) {
      fmt::print("  {}: {}\n", setting, fit.heard->why_not);
    }
    for (Tally* tally : {&row.x, &row.y, &row.t})
      tally->sessions.emplace_back();
    for (const Feed& feed : fit.feeds) {
      const double start_s =
          std::isfinite(feed.t_bounce_s) ? feed.t_bounce_s : feed.t_launch_s;
      const auto i = static_cast<std::size_t>(start_s / kApart_s);
      const Flight& flight = *members.at(i);
      row.add(
          feed, flight, kApart_s * static_cast<double>(i) - flight.t_s.front());
    }
    row.close_session(fit, setting);
  }
  fmt::print(
      "{:5.0f} {:5.0f} | {:4} {:4} {:4} {:5} | {} | {} | {} | {:5.0f} % | "
      "{:4.1f} | {}\n",
      side_deg,
      fps,
      row.measured,
      row.extrapolated,
      row.failed,
      row.invented,
      row.x.text(),
      row.y.text(),
      row.t.text(),
      100 * row.share_in_ellipse(),
      std::sqrt(row.mean2 / row.means),
      row.worst);
  std::fflush(stdout);
}

}  // namespace
}  // namespace evenfeed

int main(int argc, char** argv) {
  using namespace evenfeed;
  const bool with_sound = argc > 1 && std::string(argv[1]) == "--sound";
  const char* folder = std::getenv("EVENFEED_REAL_DATA");
  if (folder == nullptr) {
    fmt::print("EVENFEED_REAL_DATA is not set: nothing measured.\n");
    return 1;
  }
  const FlightOptions options = load_flight_options(
      TomlTable::read(EVENFEED_ROOT "/profiles/table-tennis.toml"));
  const auto flights = load_flights(folder, options.ball.radius_m);
  fmt::print(
      "{} real flights, noise {} px, seed 1; x, y in mm, t in ms\n"
      " side   fps | seen extr fail false |  x bias     sd stated err/s | "
      " y bias     sd stated err/s |  t bias     sd stated err/s | in 95 % | "
      "mean/s | worst\n",
      flights.size(),
      kNoise_px);
  for (const double side : {0., 15., 30., 40., 45.}) {
    for (const double fps : {25., 60., 120., 240.}) {
      run(flights, options, side, fps, with_sound);
    }
  }
}
