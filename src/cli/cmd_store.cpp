// SPDX-License-Identifier: MIT
#include "cli/cmd_store.h"

#include "base/atomic_file.h"
#include "base/error.h"
#include "base/file_set.h"
#include "cli/filing_args.h"
#include "cli/job_files.h"
#include "cli/store_words.h"
#include "session/feeds_file.h"
#include "store/sqlite_store.h"

#include <algorithm>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

namespace evenfeed {
namespace fs = std::filesystem;

void StoreCommand::setup(CLI::App& app) {
  app_ = &app;
  app.require_subcommand(1);
  app.add_option("--db", db_, "The store, as 'session --db' made it");
  app.add_flag("--json", json_, "Print JSON, nothing else");
  app.add_flag("--quiet", quiet_, "Say nothing but errors");
  const auto action = [&](const std::string& name, const std::string& words) {
    CLI::App* one = app.add_subcommand(name, words);
    one->fallthrough();
    one->add_flag("--quiet", quiet_, "Say nothing but errors");
    return one;
  };
  CLI::App* list = action("list", "Every session, in order of time");
  list->add_option("--launcher", launcher_, "Only of this launcher");
  CLI::App* show = action("show", "All about one session");
  show->add_option("SESSION", session_, "Its number")->required();

  CLI::App* add =
      action("add", "File a session folder that was made without --db");
  add->add_option("DIR", folder_, "Folder that session or export wrote")
      ->required();
  add->add_option(
      "--film", film_, "The film it came from, where the folder does not tell");
  add->add_option(
      "--profile", profile_, "Profile NAME or FILE, where it does not tell");
  filing_.setup_description(*add, "What was filmed");

  CLI::App* service =
      action("service", "The service log of a launcher, or an entry to add");
  service->add_option("--launcher", launcher_, "Name")->required();
  service->add_option("--add", add_, "What was done: " + service_kind_names());
  service->add_option("--date", date_, "When, UTC; default: now");
  service->add_option(
      "--item", item_, "Name of the new wheel, or of the new set of balls");
  service->add_option("--unfilmed",
                      unfilmed_,
                      "Feeds the launcher ran without a camera since the "
                      "entry before: they wear it too");
  service->add_option("--note", note_, "A note to keep with it");
  service->add_flag(
      "--new-launcher", new_launcher_, "This launcher has no sessions yet");

  CLI::App* out = action("export", "Write the files of one session anew");
  out->add_option("SESSION", session_, "Its number")->required();
  out->add_option("--out", out_, "Folder to write them in")->required();
  action("check", "Is every session wholly there?");
  CLI::App* backup = action("backup", "A copy of the store in one new file");
  backup->add_option("--out", out_, "File to make")->required();
}

int StoreCommand::run() {
  if (db_.empty()) throw UsageError("--db is required: which store?");
  const std::string action = app_->get_subcommands().front()->get_name();
  if (action == "list") return list();
  if (action == "show") return show();
  if (action == "add") return add();
  if (action == "service") return service();
  if (action == "export") return export_session();
  if (action == "check") return check();
  return back_up();
}

void StoreCommand::say(const std::string& words,
                       const std::string& json) const {
  if (json_) {
    fmt::print("{}", json);
  } else if (!quiet_) {
    fmt::print("{}", words);
  }
}

int StoreCommand::list() {
  const auto heads = open_store(db_, StoreUse::kRead)->sessions(launcher_);
  say(sessions_table(heads), sessions_json(heads));
  return kExitDone;
}

int StoreCommand::show() {
  const auto record = open_store(db_, StoreUse::kRead)->session(session_);
  say(session_words(record), session_json(record));
  return kExitDone;
}

int StoreCommand::add() {
  const std::string words = filing_.file_folder(db_, folder_, film_, profile_);
  if (!quiet_) fmt::print("{}", words);
  return kExitDone;
}

int StoreCommand::service() {
  if (add_.empty()) {
    if (!date_.empty() || !item_.empty() || !note_.empty() || unfilmed_ != 0) {
      throw UsageError(
          "--date, --item, --note and --unfilmed tell about an "
          "entry: add --add KIND");
    }
  } else {
    ServiceEvent event;
    const auto kind = find_service_kind(add_);
    if (!kind) {
      throw UsageError(
          fmt::format("--add {}: allowed are {}", add_, service_kind_names()));
    }
    if (unfilmed_ < 0) {
      throw UsageError(fmt::format(
          "--unfilmed {}: allowed are whole numbers from 0", unfilmed_));
    }
    require_plain_name(launcher_, "--launcher");
    require_plain_name(item_, "--item");
    require_plain_name(note_, "--note");
    event.launcher = launcher_;
    event.kind = *kind;
    event.at = date_.empty() ? now_unix() : required_date(date_, "--date");
    event.item = item_;
    event.note = note_;
    event.unfilmed_feeds = unfilmed_;
    if (new_launcher_) {
      fill_store(db_, [&](Store& store) { store.add_service(event); });
    } else {
      const auto store = open_store(db_, StoreUse::kWrite);
      (void)store->services(launcher_);  // known, or refused
      store->add_service(event);
    }
  }
  const auto events = open_store(db_, StoreUse::kRead)->services(launcher_);
  say(services_table(events), services_json(events));
  return kExitDone;
}

int StoreCommand::export_session() {
  JobFiles files;
  files.reads("--db", db_);
  files.writes_in("--out",
                  out_,
                  {"feeds.csv",
                   "tagged.csv",
                   "profile.toml",
                   "session.json",
                   "bench.toml",
                   "summary.json",
                   "baseline.json"});
  files.check();
  const auto record = open_store(db_, StoreUse::kRead)->session(session_);
  const fs::path out(out_);
  make_folder(out);
  std::vector<Feed> feeds;
  for (const TaggedFeed& one : record.feeds) feeds.push_back(one.feed);
  std::vector<FileText> written = {
      {out / "feeds.csv", feeds_text(feeds)},
      {out / "tagged.csv", stored_tags_text(record)},
      {out / "profile.toml", record.profile_text},
      {out / "session.json", session_json(record)}};
  const auto write_if_any = [&](const char* name, const std::string& text) {
    if (!text.empty()) written.push_back({out / name, text});
  };
  write_if_any("bench.toml", record.bench_text);
  write_if_any("summary.json", record.summary_text);
  write_if_any("baseline.json", record.baseline_text);
  write_files_whole(written);
  if (!quiet_) {
    fmt::print("session {}, {} feeds: {}\n",
               record.head.id,
               record.feeds.size(),
               out.string());
  }
  return kExitDone;
}

int StoreCommand::check() {
  const auto found = open_store(db_, StoreUse::kRead)->check();
  say(check_words(found), check_json(found));
  if (found.faults.empty()) return kExitDone;
  throw InputError(db_,
                   fmt::format("the store is not whole: {}", found.faults[0]),
                   "Put the last copy that 'evenfeed store backup' made in "
                   "its place");
}

int StoreCommand::back_up() {
  const auto store = open_store(db_, StoreUse::kRead);
  store->back_up(out_);
  if (!quiet_) {
    fmt::print(
        "{}: a copy with {} sessions\n", out_, store->sessions("").size());
  }
  return kExitDone;
}

}  // namespace evenfeed
