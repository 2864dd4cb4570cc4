// SPDX-License-Identifier: MIT
#include "cli/filing_args.h"

#include "base/atomic_file.h"
#include "base/error.h"
#include "base/printable.h"
#include "base/version.h"
#include "cli/job_files.h"
#include "cli/profile_lookup.h"
#include "cli/usual_profile.h"
#include "film/film_date.h"
#include "flight/flight_options.h"
#include "quality/baseline_file.h"
#include "quality/kept_session.h"
#include "session/provenance.h"
#include "session/session_folder.h"
#include "session/setup_setting.h"
#include "session/temperature.h"
#include "store/fill_store.h"
#include "store/sqlite_store.h"

#include <algorithm>
#include <cmath>
#include <fstream>

#include <fmt/format.h>
#include <sys/stat.h>

namespace evenfeed {
namespace fs = std::filesystem;
namespace {

std::vector<Property> properties_of(const std::vector<std::string>& texts,
                                    const std::string& option) {
  std::vector<Property> properties;
  for (const std::string& text : texts) {
    const auto property = parse_property(text);
    if (!property) {
      throw UsageError(fmt::format(
          "{} {}: allowed is KEY=VALUE, both with something in them",
          option,
          text));
    }
    require_one_line(text, option);
    properties.push_back(*property);
  }
  return properties;
}

UnixSeconds last_written(const fs::path& film) {
  struct stat about {};
  return ::stat(film.c_str(), &about) == 0 ? about.st_mtime : now_unix();
}

// Options stand over what is there; only those that were given.
void take(std::string& value, const std::string& given) {
  if (!given.empty()) value = given;
}

void take(std::vector<Property>& values, const std::vector<Property>& given) {
  for (const Property& one : given) {
    std::erase_if(values,
                  [&](const Property& old) { return old.key == one.key; });
    values.push_back(one);
  }
}

void require_room_temperature(double degrees_C) {
  if (degrees_C >= -30 && degrees_C <= 60) return;
  throw UsageError(fmt::format(
      "--temperature {}: allowed are -30 to 60 degrees Celsius", degrees_C));
}

// A store is made when something is filed in it, not before; that it can be
// made is tried.
void require_can_be_made(const fs::path& store) {
  const PendingFile trial(store);
  if (std::ofstream(trial.temporary())) return;
  throw InputError(store.string(),
                   "a store cannot be made there",
                   "Check that its folder exists and may be written to");
}

}  // namespace

UnixSeconds required_date(const std::string& text, const std::string& option) {
  // A clock may be wrong by a day or a year, not by more.
  constexpr UnixSeconds kAhead_s = UnixSeconds{366} * 86400;
  const auto date = parse_date_time(text);
  if (date && *date > now_unix() + kAhead_s) {
    throw UsageError(fmt::format(
        "{} {}: this lies in the future: allowed is a day that has been",
        option,
        text));
  }
  if (date) return *date;
  throw UsageError(
      fmt::format("{} {}: allowed is a day, or a day and a time of day in UTC: "
                  "2026-03-14, 2026-03-14T15:30",
                  option,
                  text));
}

void require_plain_name(const std::string& name, const std::string& option) {
  if (name.empty()) return;
  if (std::string_view("=+-@").find(name[0]) != std::string_view::npos) {
    throw UsageError(fmt::format(
        "{} {}: a name may not begin with = + - or @: spreadsheets would take "
        "it for a formula",
        option,
        name));
  }
  require_one_line(name, option);
}

void require_one_line(const std::string& text, const std::string& option) {
  if (printable(text) == text) return;
  throw UsageError(fmt::format(
      "{} {}: control characters (a tab, a new line) or no UTF-8 in it",
      option,
      text));
}

void FilingArgs::setup(Arguments& args) {
  const std::string group = "What was filmed, and filing it";
  args.add_option("--db", db_, "Store to file the session in; made when new")
      .takes("FILE")
      .group(group);
  setup_description(args, group);
}

void FilingArgs::setup_description(Arguments& args, const std::string& group) {
  args.add_option("--launcher", launcher_, "Name of the launcher")
      .takes("NAME")
      .group(group);
  args.add_option("--sample", sample_, "Name of the sample")
      .takes("NAME")
      .group(group);
  args.add_option("--balls", balls_, "Name of the set of balls")
      .takes("NAME")
      .group(group);
  args.add_option("--date",
                  date_,
                  "When it was filmed, UTC: 2026-03-14T15:30; default: as the "
                  "film itself says, else when it was last written")
      .takes("DATE")
      .group(group);
  args.add_option("--setting",
                  settings_,
                  "A setting of the launcher, KEY=VALUE; may be repeated")
      .takes("KEY=VALUE")
      .group(group);
  args.add_option("--setup",
                  setup_name_,
                  "Name of the launcher's set-up, where several sessions share "
                  "one; default: sessions of one calibration share it")
      .takes("NAME")
      .group(group);
  args.add_option(
          "--temperature",
          temperature_C_,
          "Of the room, degrees Celsius: wear allows for what it moves, and "
          "sound is as fast as it is warm")
      .takes("DEGREES")
      .group(group);
  args.add_option("--property",
                  properties_,
                  "A declared property of the sample, KEY=VALUE: thickness, "
                  "hardness, tack, colour, batch, glue, base, ...")
      .takes("KEY=VALUE")
      .group(group);
  args.add_option("--note", note_, "A note to keep with it").group(group);
  args.add_flag("--replace",
                replace_,
                "File a film that is there already anew, in its place")
      .group(group);
}

void FilingArgs::declare(JobFiles& files) const { files.reads("--db", db_); }

void FilingArgs::apply_temperature(FlightOptions& flight) const {
  if (std::isnan(temperature_C_)) return;
  require_room_temperature(temperature_C_);
  flight.temperature_C = temperature_C_;
}

void FilingArgs::check() const {
  if (wanted()) {
    if (!launcher_.empty() && !sample_.empty()) return;
    throw UsageError(
        "--db needs --launcher NAME and --sample NAME: what was filmed");
  }
  if (replace_) throw UsageError("--replace is for filing: add --db FILE");
}

void FilingArgs::date(SessionHead& head, const fs::path& film) {
  if (!date_.empty()) {
    head.started_at = required_date(date_, "--date");
    head.dated_by = kDatedBySaid;
  } else if (const auto taken = film_creation_time(film)) {
    head.started_at = *taken;
    head.dated_by = kDatedByFilm;
    date_doubt_ = evenfeed::date_doubt(*taken, last_written(film));
  } else {
    head.started_at = last_written(film);
    head.dated_by = kDatedByFile;
  }
}

SessionRecord FilingArgs::described(const fs::path& film) {
  describe(record_);
  date(record_.head, film);
  (void)source(film);
  return record_;
}

const SourceFile& FilingArgs::source(const fs::path& film) {
  SourceFile& source = record_.head.source;
  if (source.sha256.empty()) source = source_of(film);
  return source;
}

void FilingArgs::describe(SessionRecord& record) const {
  require_plain_name(launcher_, "--launcher");
  require_plain_name(sample_, "--sample");
  require_plain_name(balls_, "--balls");
  require_plain_name(note_, "--note");
  take(record.head.launcher, launcher_);
  take(record.head.sample, sample_);
  take(record.head.ball_set, balls_);
  take(record.head.note, note_);
  require_plain_name(setup_name_, "--setup");
  std::vector<Property> settings = properties_of(settings_, "--setting");
  if (!setup_name_.empty()) {
    settings.push_back({std::string(kSetupSetting), setup_name_});
  }
  if (!std::isnan(temperature_C_)) {
    require_room_temperature(temperature_C_);
    settings.push_back(
        {std::string(kTemperatureSetting), fmt::format("{}", temperature_C_)});
  }
  take(record.settings, settings);
  take(record.sample_properties, properties_of(properties_, "--property"));
}

void FilingArgs::prepare(const fs::path& film) {
  check();
  describe(record_);
  if (!date_.empty()) (void)required_date(date_, "--date");
  if (!wanted()) return;
  date(record_.head, film);
  std::error_code unknown;
  if (!fs::exists(db_, unknown)) {
    require_can_be_made(db_);
  } else {
    store_ = open_store(db_, StoreUse::kWrite);
  }
  if (!fs::is_regular_file(film, unknown)) return;  // measuring says why
  const SourceFile& known_by = source(film);
  if (!store_) return;
  const auto there = store_->find_film(known_by.sha256);
  if (there && !replace_) {
    throw InputError(film.string(),
                     fmt::format("this film is already session {} in {} "
                                 "(filed {} as {})",
                                 there->id,
                                 db_,
                                 date_time_text(there->filed_at),
                                 there->source.path),
                     "Nothing to do; --replace files it anew in its place");
  }
}

Filed FilingArgs::file(const NamedText& profile,
                       const std::string& bench_text,
                       const std::vector<Feed>& feeds,
                       const Qualification& result) {
  SessionHead& head = record_.head;
  head.profile_name = profile.name;
  head.program_version = program_version();
  head.ready = result.ready;
  head.ready_at_feed = result.ready_at_feed;
  head.stable_from_feed = result.stable_from_feed;
  record_.profile_text = profile.text;
  record_.bench_text = bench_text;
  if (result.baseline.ok && !result.baseline_provisional) {
    record_.baseline_text = baseline_text(result.baseline);
  }
  record_.summary_text = summary_for_store(result);
  record_.feeds = tagged_feeds(feeds, result);
  return file_record(record_);
}

Filed FilingArgs::file_folder(const std::string& db,
                              const fs::path& folder,
                              const fs::path& film,
                              const std::string& profile) {
  db_ = db;
  SessionRecord record = read_session_folder(folder);
  describe(record);
  SessionHead& head = record.head;
  if (head.launcher.empty() || head.sample.empty()) {
    throw UsageError(
        "--launcher NAME and --sample NAME are required: the folder does not "
        "tell what was filmed");
  }
  const fs::path known_by = film.empty() ? folder / "tagged.csv" : film;
  if (!film.empty() || head.source.sha256.empty()) {
    if (!film.empty() && !fs::is_regular_file(film)) {
      throw InputError(
          film.string(), "there is no such file", "Check the name");
    }
    head.source = source_of(known_by);
  }
  if (!date_.empty() || head.started_at == 0) date(head, known_by);
  if (!profile.empty() || record.profile_text.empty()) {
    if (!profile.empty()) head.profile_name = profile;
    const NamedText found = find_profile(
        head.profile_name.empty() ? kUsualProfile : head.profile_name);
    head.profile_name = found.name;
    record.profile_text = found.text;
  }
  return file_record(record);
}

Filed FilingArgs::file_record(SessionRecord& record) {
  record.head.filed_at = now_unix();
  const std::string& launcher = record.head.launcher;
  int id = 0;
  bool is_new = false;
  const auto file_in = [&](Store& store) {
    const auto known = store.launchers();
    is_new = std::find(known.begin(), known.end(), launcher) == known.end();
    id = store.file_session(record, replace_);
  };
  if (store_) {
    file_in(*store_);
  } else {
    fill_store(db_, file_in);
  }
  return {
      id,
      db_,
      fmt::format(
          "filed as session {} in {}{}\n",
          id,
          db_,
          is_new ? fmt::format(", the first of launcher '{}'", launcher) : "")};
}

}  // namespace evenfeed
