// SPDX-License-Identifier: MIT
#include "cli/filing_args.h"

#include "base/atomic_file.h"
#include "base/error.h"
#include "base/sha256.h"
#include "store/sqlite_store.h"

#include <algorithm>
#include <map>

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
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
    properties.push_back(*property);
  }
  return properties;
}

// When the film was last written: for a film straight from the camera, the end
// of the session.
UnixSeconds last_written(const fs::path& film) {
  struct stat about {};
  return ::stat(film.c_str(), &about) == 0 ? about.st_mtime : now_unix();
}

}  // namespace

UnixSeconds required_date(const std::string& text, const std::string& option) {
  const auto date = parse_date_time(text);
  if (date) return *date;
  throw UsageError(
      fmt::format("{} {}: allowed is a day, or a day and a time of day in UTC: "
                  "2026-03-14, 2026-03-14T15:30",
                  option,
                  text));
}

std::string summary_for_store(const Qualification& result) {
  auto json = nlohmann::ordered_json::parse(summary_text(result));
  json.erase("charts");
  return json.dump();
}

std::vector<TaggedFeed> tagged_feeds(const std::vector<Feed>& feeds,
                                     const Qualification& result) {
  std::map<int, const FeedTag*> tags;
  for (const FeedTag& tag : result.tags) tags[tag.feed] = &tag;
  std::vector<TaggedFeed> tagged;
  for (const Feed& feed : feeds) {
    TaggedFeed one;
    one.feed = feed;
    if (const auto found = tags.find(feed.number); found != tags.end()) {
      const FeedTag& tag = *found->second;
      one.phase = phase_name(tag.phase);
      one.verdict = verdict_name(tag.verdict);
      for (const std::string& reason : tag.reasons) {
        one.reasons += (one.reasons.empty() ? "" : "; ") + reason;
      }
    }
    tagged.push_back(std::move(one));
  }
  return tagged;
}

void FilingArgs::setup(CLI::App& app) {
  const std::string group = "Filing the session";
  app.add_option("--db", db_, "Store to file the session in; made when new")
      ->group(group);
  app.add_option("--launcher", launcher_, "Name of the launcher")->group(group);
  app.add_option("--sample", sample_, "Name of the sample")->group(group);
  app.add_option("--balls", balls_, "Name of the set of balls")->group(group);
  app.add_option("--date",
                 date_,
                 "When it was filmed, UTC: 2026-03-14T15:30; default: when "
                 "the film was last written")
      ->group(group);
  app.add_option("--setting",
                 settings_,
                 "A setting of the launcher, KEY=VALUE; may be repeated")
      ->group(group);
  app.add_option("--property",
                 properties_,
                 "A declared property of the sample, KEY=VALUE: thickness, "
                 "hardness, tack, colour, batch, glue, base, ...")
      ->group(group);
  app.add_option("--note", note_, "A note to keep with it")->group(group);
  app.add_flag("--replace",
               replace_,
               "File a film that is there already anew, in its place")
      ->group(group);
}

void FilingArgs::check() const {
  if (wanted()) {
    if (!launcher_.empty() && !sample_.empty()) return;
    throw UsageError(
        "--db needs --launcher NAME and --sample NAME: what was filmed");
  }
  if (launcher_.empty() && sample_.empty() && balls_.empty() && date_.empty() &&
      note_.empty() && settings_.empty() && properties_.empty() && !replace_) {
    return;
  }
  throw UsageError(
      "--launcher, --sample and what else describes a session are for filing: "
      "add --db FILE");
}

void FilingArgs::prepare(const fs::path& film) {
  check();
  if (!wanted()) return;
  SessionHead& head = record_.head;
  head.launcher = launcher_;
  head.sample = sample_;
  head.ball_set = balls_;
  head.note = note_;
  head.started_at =
      date_.empty() ? last_written(film) : required_date(date_, "--date");
  record_.settings = properties_of(settings_, "--setting");
  record_.sample_properties = properties_of(properties_, "--property");
  store_ = open_store(db_, StoreUse::kFile);
  std::error_code unknown;
  if (!fs::is_regular_file(film, unknown)) return;  // measuring says why
  head.source.path = fs::absolute(film).string();
  head.source.bytes = static_cast<std::int64_t>(fs::file_size(film, unknown));
  head.source.sha256 = sha256_of_file(film);
  const auto there = store_->find_film(head.source.sha256);
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

std::string FilingArgs::file(const fs::path& profile_file,
                             const std::string& bench_text,
                             const std::vector<Feed>& feeds,
                             const Qualification& result) {
  SessionHead& head = record_.head;
  head.filed_at = now_unix();
  head.profile_name = profile_file.stem().string();
  head.ready = result.ready;
  head.ready_at_feed = result.ready_at_feed;
  head.stable_from_feed = result.stable_from_feed;
  record_.profile_text = read_file(profile_file);
  record_.bench_text = bench_text;
  if (result.baseline.ok && !result.baseline_provisional) {
    record_.baseline_text = baseline_text(result.baseline);
  }
  record_.summary_text = summary_for_store(result);
  record_.feeds = tagged_feeds(feeds, result);
  const auto known = store_->launchers();
  const bool is_new =
      std::find(known.begin(), known.end(), launcher_) == known.end();
  const int id = store_->file_session(record_, replace_);
  return fmt::format(
      "filed as session {} in {}{}\n",
      id,
      db_,
      is_new ? fmt::format(", the first of launcher '{}'", launcher_) : "");
}

}  // namespace evenfeed
