// SPDX-License-Identifier: MIT
#include "cli/cmd_measure.h"

#include "base/atomic_file.h"
#include "cli/measure_words.h"
#include "cli/profile_lookup.h"
#include "geometry/sightings_file.h"
#include "session/feeds_file.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

namespace evenfeed {

void MeasureCommand::setup(CLI::App& app) {
  auto* film = app.add_option("VIDEO", film_, "Film of the bench");
  app.add_option("--sightings",
                 sightings_in_,
                 "Sightings to use in place of a film, CSV: t_s,u_px,v_px")
      ->excludes(film);
  app.add_option("--bench", bench_, "Bench that calibrate wrote")->required();
  app.add_option("--profile", profile_, "Profile NAME or FILE")
      ->capture_default_str();
  spin_.setup(app);
  app.add_option("--out", out_, "Feeds to write, CSV")->capture_default_str();
  app.add_option("--sightings-out",
                 sightings_out_,
                 "Also write every sighting of a ball, CSV");
  sample_.setup(app);
  app.add_flag("--quiet", quiet_, "Say nothing but errors");
}

int MeasureCommand::run() {
  if (film_.empty() == sightings_in_.empty()) {
    throw UsageError(
        "name either a film or a file of sightings (--sightings FILE)");
  }
  Profile profile = load_profile(find_profile(profile_));
  sample_.apply(profile);
  spin_.apply(profile.flight);
  const Bench bench = load_bench(bench_);
  MeasureOptions options;
  options.keep_sightings = !sightings_out_.empty();
  ProgressLine line(quiet_);
  const Measurement measurement =
      film_.empty()
          ? measure_sightings(read_sightings(CsvTable::read(sightings_in_)),
                              bench,
                              profile,
                              options)
          : measure_film(
                film_, bench, profile, options, measuring_progress(line));
  line.clear();
  if (!sightings_out_.empty()) {
    write_file_whole(sightings_out_, sightings_text(measurement.sightings));
  }
  require_feeds(measurement, film_.empty() ? sightings_in_ : film_);
  write_file_whole(out_, feeds_text(measurement.fit.feeds));
  if (quiet_) return kExitDone;
  fmt::print("{}", measurement_text(measurement));
  for (const std::string& note : measurement.notes) {
    fmt::print("note: {}\n", note);
  }
  for (const std::string& warning : measurement.fit.warnings) {
    fmt::print("warning: {}\n", warning);
  }
  return kExitDone;
}

}  // namespace evenfeed
