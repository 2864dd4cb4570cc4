// SPDX-License-Identifier: MIT
#include "cli/cmd_measure.h"

#include "cli/csv_input.h"
#include "cli/film_json.h"
#include "cli/job_files.h"
#include "cli/measure_words.h"
#include "cli/print_words.h"
#include "cli/profile_lookup.h"
#include "cli/written_files.h"
#include "geometry/sightings_file.h"
#include "pipeline/measure.h"
#include "session/feeds_file.h"

#include <fmt/format.h>

namespace evenfeed {

void MeasureCommand::setup(Arguments& args) {
  const Argument film =
      args.add_option("VIDEO", film_, "Film of the bench").takes("FILE");
  args.add_option(
          "--sightings",
          sightings_in_,
          "Sightings to use in place of a film, CSV: t_s,u_px,v_px; - for "
          "standard input")
      .takes("FILE")
      .excludes(film);
  args.add_option("--bench", bench_, "Bench that calibrate wrote")
      .takes("FILE")
      .required();
  args.add_option("--profile", profile_, "Profile NAME or FILE")
      .takes("PROFILE")
      .show_default();
  spin_.setup(args);
  slow_.setup(args);
  args.add_option("--out", out_, "Feeds to write, CSV; - for standard output")
      .takes("FILE")
      .show_default();
  args.add_option("--sightings-out",
                  sightings_out_,
                  "Also write every sighting of a ball, CSV")
      .takes("FILE");
  sample_.setup(args);
  sound_.setup(args);
  args.add_json(json_);
  args.add_quiet(quiet_);
}

int MeasureCommand::run() {
  if (film_.empty() == sightings_in_.empty()) {
    throw UsageError(
        "name either a film or a file of sightings (--sightings FILE)");
  }
  const NamedText profile_text = find_profile(profile_);
  JobFiles files;
  files.reads("VIDEO", film_);
  files.reads("--sightings", sightings_in_);
  files.reads("--bench", bench_);
  files.reads("--profile", profile_text.file);
  files.writes("--out", out_);
  files.writes("--sightings-out", sightings_out_);
  if (json_) files.writes("--json", "-");
  files.check();
  Profile profile = load_profile(profile_text);
  sample_.apply(profile);
  spin_.apply(profile.flight);
  const Bench bench = load_bench(bench_);
  MeasureOptions options;
  options.keep_sightings = !sightings_out_.empty();
  options.video = slow_.video(film_);
  sound_.apply(options);
  ProgressLine line(quiet_ || json_);
  Measurement measurement;
  if (film_.empty()) {
    const CsvTable table = read_csv_input(sightings_in_);
    measurement = measure_sightings(
        slow_.as_taken(read_sightings(table)), bench, profile, options);
    if (!table.note().empty()) measurement.notes.push_back(table.note());
  } else {
    measurement =
        measure_film(film_, bench, profile, options, measuring_progress(line));
  }
  line.clear();
  std::vector<FileText> outputs = {
      {sightings_out_, sightings_text(measurement.sightings)}};
  // Sightings without a feed in them are what there is to look at.
  if (measurement.fit.feeds.empty()) write_outputs(outputs);
  require_own_times(measurement, film_.empty() ? sightings_in_ : film_);
  require_feeds(measurement, film_.empty() ? sightings_in_ : film_);
  outputs.push_back({out_, feeds_text(measurement.fit.feeds)});
  write_outputs(outputs);
  const std::vector<WrittenFile> written{
      {out_, "every feed as it was measured"},
      {sightings_out_, "where the ball was seen, frame by frame"}};
  if (json_) {
    fmt::print("{}", json_with_written(measurement_json(measurement), written));
    return kExitDone;
  }
  if (quiet_) return kExitDone;
  const bool taken =
      is_standard_stream(out_) || is_standard_stream(sightings_out_);
  std::FILE* const words = taken ? stderr : stdout;
  print_words(measurement_text(measurement), words);
  for (const std::string& warning : measurement_warnings(measurement)) {
    print_words("warning: " + warning + "\n", words);
  }
  print_words(words_with_written("", written), words);
  return kExitDone;
}

}  // namespace evenfeed
