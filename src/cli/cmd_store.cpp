// SPDX-License-Identifier: MIT
#include "cli/cmd_store.h"

#include "base/atomic_file.h"
#include "base/counted.h"
#include "base/error.h"
#include "base/file_set.h"
#include "cli/filing_args.h"
#include "cli/job_files.h"
#include "cli/print_words.h"
#include "cli/store_csv.h"
#include "cli/store_json.h"
#include "cli/store_words.h"
#include "cli/written_files.h"
#include "session/feeds_file.h"
#include "session/json_text.h"
#include "store/fill_store.h"
#include "store/sqlite_store.h"

#include <algorithm>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace evenfeed {

using Json = nlohmann::ordered_json;
namespace fs = std::filesystem;

void StoreCommand::setup(Arguments& args) {
  args.require_command();
  actions_.clear();
  setup_list(args);
  setup_show(args);
  setup_add(args);
  setup_service(args);
  setup_rename(args);
  setup_export(args);
  setup_check(args);
  setup_backup(args);
}

Arguments StoreCommand::action(Arguments& args,
                               const std::string& name,
                               const std::string& words,
                               int (StoreCommand::*does)(),
                               const std::vector<std::string>& examples) {
  Arguments one = args.add_command(name, words);
  one.examples(examples);
  actions_.push_back({one, does});
  return one;
}

void StoreCommand::common(Arguments& one) {
  one.add_option("--db", db_, "The store, as 'session --db' made it")
      .takes("FILE")
      .required();
  one.add_flag("--json", json_, "Print JSON, nothing else");
  one.add_quiet(quiet_);
}

void StoreCommand::setup_list(Arguments& args) {
  Arguments list = action(args,
                          "list",
                          "Every session, in order of time",
                          &StoreCommand::list,
                          {"evenfeed store list --db launchers.db",
                           "evenfeed store list --db launchers.db --csv "
                           "> sessions.csv"});
  list.add_option("--launcher", launcher_, "Only of this launcher")
      .takes("NAME");
  list.add_flag("--csv", csv_, "Print CSV, a row per session, nothing else");
  common(list);
}

void StoreCommand::setup_show(Arguments& args) {
  Arguments show = action(args,
                          "show",
                          "All about one session",
                          &StoreCommand::show,
                          {"evenfeed store show 3 --db launchers.db"});
  show.add_option("SESSION", session_, "Its number").required();
  common(show);
}

void StoreCommand::setup_add(Arguments& args) {
  Arguments add = action(args,
                         "add",
                         "File a session folder that was made without --db",
                         &StoreCommand::add,
                         {"evenfeed store add out/sheet-M --db launchers.db "
                          "--launcher bench-A --sample M"});
  add.add_option("DIR", folder_, "Folder that session or export wrote")
      .takes("FOLDER")
      .required();
  add.add_option("--film",
                 film_,
                 "The film it came from, where the folder does not tell")
      .takes("FILE");
  add.add_option(
         "--profile", profile_, "Profile NAME or FILE, where it does not tell")
      .takes("PROFILE");
  filing_.setup_description(add, "What was filmed");
  common(add);
}

void StoreCommand::setup_service(Arguments& args) {
  Arguments service = action(
      args,
      "service",
      "The service log of a launcher, or an entry to add",
      &StoreCommand::service,
      {"evenfeed store service --db launchers.db --launcher bench-A",
       "evenfeed store service --db launchers.db --launcher bench-A --add "
       "new-balls"});
  service.add_option("--launcher", launcher_, "Name").takes("NAME").required();
  service.add_option("--add", add_, "What was done")
      .one_of(service_kind_names());
  service.add_option("--date", date_, "When, UTC; default: now").takes("DATE");
  service
      .add_option(
          "--item", item_, "Name of the new wheel, or of the new set of balls")
      .takes("NAME");
  service.add_option("--unfilmed",
                     unfilmed_,
                     "Feeds the launcher ran without a camera since the "
                     "entry before: they wear it too");
  service.add_option("--note", note_, "A note to keep with it");
  service.add_flag(
      "--new-launcher", new_launcher_, "This launcher has no sessions yet");
  common(service);
}

void StoreCommand::setup_rename(Arguments& args) {
  Arguments rename =
      action(args,
             "rename",
             "Another name for a launcher, or one history for two",
             &StoreCommand::rename,
             {"evenfeed store rename --db launchers.db --launcher bench --to "
              "bench-A",
              "evenfeed store rename --db launchers.db --launcher bench --to "
              "bench-A --merge"});
  rename.add_option("--launcher", launcher_, "Its name now")
      .takes("NAME")
      .required();
  rename.add_option("--to", to_, "Its new name").takes("NAME").required();
  rename.add_flag(
      "--merge",
      merge_,
      "That is the name of another launcher: both are the same one");
  common(rename);
}

void StoreCommand::setup_export(Arguments& args) {
  Arguments out =
      action(args,
             "export",
             "Write the files of one session anew",
             &StoreCommand::export_session,
             {"evenfeed store export 3 --db launchers.db --out out/third"});
  out.add_option("SESSION", session_, "Its number").required();
  out.add_option("--out", out_, "Folder to write them in")
      .takes("FOLDER")
      .required();
  common(out);
}

void StoreCommand::setup_check(Arguments& args) {
  Arguments whole = action(args,
                           "check",
                           "Look whether every session is wholly there",
                           &StoreCommand::check,
                           {"evenfeed store check --db launchers.db"});
  common(whole);
}

void StoreCommand::setup_backup(Arguments& args) {
  Arguments backup = action(args,
                            "backup",
                            "A copy of the store in one new file",
                            &StoreCommand::back_up,
                            {"evenfeed store backup --db launchers.db --out "
                             "launchers-copy.db"});
  backup.add_option("--out", out_, "File to make").takes("FILE").required();
  common(backup);
}

int StoreCommand::run() {
  for (const Action& action : actions_) {
    if (action.args.given()) return (this->*action.run)();
  }
  return kExitWrongUse;
}

void StoreCommand::say(const std::string& words,
                       const std::string& json) const {
  if (json_) {
    fmt::print("{}", json);
  } else if (!quiet_) {
    print_words(words);
  }
}

int StoreCommand::list() {
  if (csv_ && json_) throw UsageError("--csv and --json: give one of them");
  const auto store = open_store(db_, StoreUse::kRead);
  const auto heads = store->sessions(launcher_);
  if (csv_) {
    std::vector<SessionRecord> records;
    for (const SessionHead& one : heads) {
      records.push_back(store->session(one.id));
    }
    fmt::print("{}", sessions_csv(records));
    return kExitDone;
  }
  say(sessions_table(heads), sessions_json(heads));
  return kExitDone;
}

int StoreCommand::show() {
  const auto record = open_store(db_, StoreUse::kRead)->session(session_);
  say(session_words(record), session_json(record));
  return kExitDone;
}

int StoreCommand::add() {
  const Filed filed = filing_.file_folder(db_, folder_, film_, profile_);
  say(filed.words,
      json_with_written(json_text(Json{{"session", filed.session}}),
                        {{filed.db, "the store"}}));
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
    if (unfilmed_ < 0) {
      throw UsageError(fmt::format(
          "--unfilmed {}: allowed are whole numbers from 0", unfilmed_));
    }
    require_plain_name(launcher_, "--launcher");
    require_plain_name(item_, "--item");
    require_plain_name(note_, "--note");
    event.launcher = launcher_;
    event.kind = find_service_kind(add_).value();
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

int StoreCommand::rename() {
  require_plain_name(to_, "--to");
  const auto store = open_store(db_, StoreUse::kWrite);
  const auto known = store->launchers();
  const bool there = std::find(known.begin(), known.end(), to_) != known.end();
  if (there && to_ != launcher_ && !merge_) {
    throw UsageError(
        fmt::format("--to {}: there is a launcher of that name; add --merge if "
                    "both are the same one (it cannot be undone: make a "
                    "'store backup' first)",
                    to_));
  }
  const int sessions = store->rename_launcher(launcher_, to_);
  const auto heads = store->sessions(to_);
  say(fmt::format("{} is now {}: {}\n",
                  launcher_,
                  to_,
                  counted(static_cast<std::int64_t>(sessions), "session")),
      sessions_json(heads));
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
  const OutputFolder folder(out);
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
  const auto feeds_kept = std::ssize(record.feeds);
  const std::vector<WrittenFile> folder_told{
      {out,
       counted(std::ssize(written), "file") + ", as 'session' writes them"}};
  say(words_with_written(
          fmt::format(
              "session {}, {}\n", record.head.id, counted(feeds_kept, "feed")),
          folder_told),
      json_with_written(
          json_text(Json{{"session", record.head.id}, {"feeds", feeds_kept}}),
          folder_told));
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
  const auto sessions = std::ssize(store->sessions(""));
  const std::vector<WrittenFile> copy{
      {out_, "a copy with " + counted(sessions, "session")}};
  say(words_with_written("", copy),
      json_with_written(json_text(Json{{"sessions", sessions}}), copy));
  return kExitDone;
}

}  // namespace evenfeed
