// SPDX-License-Identifier: MIT
#include "cli/cmd_simulate.h"

#include "base/atomic_file.h"
#include "base/counted.h"
#include "base/error.h"
#include "base/units.h"
#include "cli/job_files.h"
#include "cli/print_words.h"
#include "cli/profile_lookup.h"
#include "cli/usual_profile.h"
#include "cli/weeks_filing.h"
#include "cli/written_files.h"
#include "geometry/bench.h"
#include "pipeline/profile.h"
#include "session/feeds_file.h"
#include "session/json_text.h"
#include "simulate/film.h"
#include "simulate/scene_file.h"
#include "store/fill_store.h"
#include "store/sqlite_store.h"

#include <cmath>
#include <cstdio>

#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <unistd.h>

namespace evenfeed {
namespace {

using Json = nlohmann::ordered_json;

namespace fs = std::filesystem;

// For the scene in the file `place`.
TomlTable profile_table(const std::string& place, std::string_view name) {
  const NamedText found = find_profile_of(place, std::string(name));
  return TomlTable::parse(found.text, found.place);
}

double heading_of(const Eigen::Vector3d& v) { return std::atan2(v.y(), v.x()); }

void put_return(const TrueFeed& truth, Feed& feed) {
  const auto set = [&](ReturnValue id, double value) {
    feed.returned[static_cast<std::size_t>(id)].value = value;
  };
  const Eigen::Vector3d& v = truth.v_return_mps;
  set(ReturnValue::kSpeed, v.norm());
  set(ReturnValue::kAngle, deg_from_rad(std::atan2(v.z(), v.head<2>().norm())));
  set(ReturnValue::kApex, mm_from_m(truth.return_apex_m.z()));
  set(ReturnValue::kApexX, mm_from_m(truth.return_apex_m.x()));
  set(ReturnValue::kNetHeight, mm_from_m(truth.return_net_m.z()));
  set(ReturnValue::kNetTime, truth.t_return_net_s - truth.t_contact_s);
  set(ReturnValue::kX, mm_from_m(truth.return_landing_m.x()));
  set(ReturnValue::kY, mm_from_m(truth.return_landing_m.y()));
}

Feed feed_of_truth(const TrueFeed& truth) {
  Feed feed;
  feed.number = truth.number;
  feed.t_launch_s = truth.t_launch_s;
  feed.t_bounce_s = truth.t_bounce_s;
  feed.timing = "truth";
  const auto set = [&](Characteristic id, double value) {
    feed[id].value = value;
  };
  const Eigen::Vector3d& in = truth.v_in_mps;
  const Eigen::Vector3d& out = truth.v_out_mps;
  set(Characteristic::kX, mm_from_m(truth.bounce_m.x()));
  set(Characteristic::kY, mm_from_m(truth.bounce_m.y()));
  set(Characteristic::kVxIn, in.x());
  set(Characteristic::kVyIn, in.y());
  set(Characteristic::kVzIn, in.z());
  set(Characteristic::kVxOut, out.x());
  set(Characteristic::kVyOut, out.y());
  set(Characteristic::kVzOut, out.z());
  set(Characteristic::kSpeedIn, in.norm());
  set(Characteristic::kHeading, deg_from_rad(heading_of(in)));
  set(Characteristic::kDescent,
      deg_from_rad(std::atan2(-in.z(), in.head<2>().norm())));
  set(Characteristic::kKick, out.head<2>().norm() / in.head<2>().norm());
  set(Characteristic::kTurn,
      deg_from_rad(std::remainder(heading_of(out) - heading_of(in),
                                  2 * std::numbers::pi)));
  set(Characteristic::kFlightTime, truth.t_bounce_s - truth.t_launch_s);
  set(Characteristic::kContactTime, truth.t_contact_s);
  set(Characteristic::kContactY, mm_from_m(truth.contact_m.y()));
  set(Characteristic::kContactZ, mm_from_m(truth.contact_m.z()));
  set(Characteristic::kPathLength, mm_from_m(truth.path_length_m));
  put_return(truth, feed);
  feed.status = truth.bounced ? FeedStatus::kMeasured : FeedStatus::kUnmeasured;
  const auto note = [&](bool applies, const char* words) {
    if (applies) feed.add_note(words);
  };
  note(truth.misfeed, "mis-feed");
  note(!truth.bounced, "no bounce on the receiving half");
  note(truth.bounced && !truth.bounce_in_view, "bounce out of view");
  note(truth.near_half_first, "bounced on the launcher's half");
  note(truth.touched_net, "touched the net");
  return feed;
}

std::string truth_text(const Film& film) {
  std::vector<Feed> feeds;
  for (const TrueFeed& truth : film.feeds)
    feeds.push_back(feed_of_truth(truth));
  for (const TrueSighting& sighting : film.sightings) {
    if (sighting.kind == BallKind::kFeed && sighting.seen > 0.5) {
      ++feeds[static_cast<std::size_t>(sighting.ball)].sightings;
    }
  }
  return feeds_text(feeds);
}

const char* kind_name(BallKind kind) {
  switch (kind) {
    case BallKind::kFeed:
      return "feed";
    case BallKind::kTableStray:
      return "table stray";
    case BallKind::kFloorStray:
      return "floor stray";
  }
  return "";
}

// Only what can be seen: as sightings.csv for measure --sightings, with the
// frame and the kind of ball besides.
std::string sightings_text(const Film& film) {
  CsvWriter out(
      {"t_s", "u_px", "v_px", "diameter_px", "track", "frame", "kind"});
  for (const TrueSighting& sighting : film.sightings) {
    if (sighting.seen <= 0.5) continue;
    out.add_row({csv_number(sighting.t_s, 6),
                 csv_number(sighting.centre_px.x(), 3),
                 csv_number(sighting.centre_px.y(), 3),
                 csv_number(sighting.diameter_px, 3),
                 fmt::format("{}", sighting.ball + 1),
                 fmt::format("{}", sighting.frame),
                 kind_name(sighting.kind)});
  }
  return out.text();
}

std::string bench_of(const Scene& scene) {
  Bench bench;
  bench.camera = true_camera(scene);
  bench.surface_name = scene.surface.name;
  bench.landmarks = static_cast<int>(scene.surface.landmarks().size());
  return bench_text(bench);
}

FilmProgress progress_line(bool wanted) {
  if (!wanted) return {};
  return [](int done, int all) {
    if (done % 10 != 0 && done != all) return;
    fmt::print(stderr, "\rframe {} of {}", done, all);
    if (done == all) fmt::print(stderr, "\n");
  };
}

}  // namespace

void SimulateCommand::setup(Arguments& args) {
  args.add_option("--scene",
                  scene_,
                  "Scene file, or the name of one that ships: " + scene_names())
      .takes("SCENE")
      .show_default();
  args.add_option("--seed", seed_, "The same seed gives the same film")
      .show_default();
  args.add_option("--out", out_, "Folder for session.mp4 and the truth files")
      .takes("FOLDER");
  args.add_option("--weeks",
                  weeks_,
                  "Instead of a film: weeks of sessions of a launcher that "
                  "wears, from a file like examples/ten-weeks.toml")
      .takes("FILE");
  args.add_option("--db", db_, "With --weeks: the store to file them in")
      .takes("FILE");
  args.add_json(json_, "what was made");
  args.add_quiet(quiet_);
}

int SimulateCommand::run_weeks() const {
  if (db_.empty() || !out_.empty()) {
    throw UsageError("--weeks makes no film: give --db FILE, and not --out");
  }
  WeeksFiling filing;
  filing.scenario_text = read_file(weeks_);
  filing.seed = seed_;
  const NamedText profile = find_profile(kUsualProfile);
  filing.profile_name = profile.name;
  filing.profile_text = profile.text;
  filing.quality = load_profile(profile).quality;
  const WeeksScenario scenario =
      load_weeks(TomlTable::parse(filing.scenario_text, weeks_));
  int feeds = 0;
  std::size_t sessions = 0;
  fill_store(db_, [&](Store& store) {
    feeds = file_weeks(scenario, filing, store);
    sessions = store.sessions(scenario.launcher).size();
  });
  if (json_) {
    fmt::print("{}",
               json_text(Json{{"store", db_},
                              {"launcher", scenario.launcher},
                              {"feeds", feeds},
                              {"sessions", sessions},
                              {"seed", seed_}}));
  } else if (!quiet_) {
    print_words(
        fmt::format("{}: {} of launcher '{}' in {}, seed {}\n",
                    db_,
                    counted(feeds, "feed"),
                    scenario.launcher,
                    counted(static_cast<std::int64_t>(sessions), "session"),
                    seed_));
  }
  return kExitDone;
}

int SimulateCommand::run() {
  if (!weeks_.empty()) return run_weeks();
  if (!db_.empty()) throw UsageError("--db is for --weeks");
  if (out_.empty()) throw UsageError("--out is required");
  const NamedText source = find_scene(scene_);
  JobFiles files;
  files.reads("--scene", source.file);
  files.writes_in("--out",
                  out_,
                  {"session.mp4",
                   "truth.csv",
                   "truth_sightings.csv",
                   "truth_bench.toml",
                   "scene.toml"});
  files.check();
  const Scene scene =
      parse_scene(source.text, source.place, [&](std::string_view name) {
        return profile_table(source.place, name);
      });
  const fs::path out(out_);
  StagedFolder staged(out);
  const Film film =
      simulate(scene,
               seed_,
               staged.path() / "session.mp4",
               progress_line(!quiet_ && !json_ && ::isatty(2) == 1));
  write_files_whole(
      {{staged.path() / "truth.csv", truth_text(film)},
       {staged.path() / "truth_sightings.csv", sightings_text(film)},
       {staged.path() / "truth_bench.toml", bench_of(scene)},
       {staged.path() / "scene.toml", source.text}});
  staged.commit();
  const std::vector<WrittenFile> written{
      {out / "session.mp4", "the film"},
      {out / "truth.csv", "the feeds as they were thrown"},
      {out / "truth_sightings.csv", "where the ball was, frame by frame"},
      {out / "truth_bench.toml", "the camera as it stood"},
      {out / "scene.toml", "what was rendered"}};
  if (json_) {
    const Json told{
        {"frames", film.frames}, {"feeds", film.feeds.size()}, {"seed", seed_}};
    fmt::print("{}", json_with_written(json_text(told), written));
  } else if (!quiet_) {
    print_words(
        words_with_written(fmt::format("{} frames, {}, seed {}\n",
                                       film.frames,
                                       counted(std::ssize(film.feeds), "feed"),
                                       seed_),
                           written));
  }
  return kExitDone;
}

}  // namespace evenfeed
