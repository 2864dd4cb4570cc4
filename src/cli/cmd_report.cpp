// SPDX-License-Identifier: MIT
#include "cli/cmd_report.h"

#include "base/counted.h"
#include "base/error.h"
#include "base/file_set.h"
#include "cli/drawing_files.h"
#include "cli/job_files.h"
#include "cli/print_words.h"
#include "cli/profile_lookup.h"
#include "cli/store_csv.h"
#include "cli/store_words.h"
#include "pipeline/profile.h"
#include "report/index_page.h"
#include "report/page.h"
#include "session/json_text.h"
#include "session/session_folder.h"
#include "store/sqlite_store.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace evenfeed {

namespace fs = std::filesystem;

namespace {

using Json = nlohmann::ordered_json;

std::string page_name(int session) {
  return fmt::format("session-{:03}.html", session);
}

}  // namespace

void ReportCommand::setup(Arguments& args) {
  args.add_option(
          "DIR", folder_, "Session folder: tagged.csv or feeds.csv in it")
      .takes("FOLDER");
  args.add_option(
          "--profile", profile_, "Profile NAME or FILE: the surface to draw")
      .takes("PROFILE")
      .show_default();
  args.add_option("--out",
                  out_,
                  "Page to write, default DIR/report.html; - for standard "
                  "output. With --db the folder for the pages")
      .takes("FILE");
  args.add_option("--pictures", pictures_, kPicturesHelp).takes("FOLDER");
  args.add_option("--db",
                  db_,
                  "Instead of a folder a store: index.html over its sessions, "
                  "and a page of each")
      .takes("FILE");
  args.add_option("--launcher", launcher_, "With --db: only of this launcher")
      .takes("NAME");
  args.add_flag("--csv",
                csv_,
                "Print CSV instead of a page: a row for the session, with "
                "mean and sd of every value");
  args.add_json(json_, "what was written and the verdict");
  args.add_quiet(quiet_);
}

void ReportCommand::check_use() const {
  if (folder_.empty() == db_.empty()) {
    throw UsageError("name either a session folder or a store (--db FILE)");
  }
  if (csv_ && json_) throw UsageError("--csv and --json: give one of them");
  if (db_.empty()) {
    if (!launcher_.empty()) throw UsageError("--launcher is for --db");
    return;
  }
  if (out_.empty()) throw UsageError("--db needs --out FOLDER for the pages");
  if (csv_) {
    throw UsageError("--csv is for a folder: 'evenfeed store list --csv'");
  }
  if (!pictures_.empty()) throw UsageError("--pictures is for a folder");
}

int ReportCommand::run() {
  check_use();
  if (!db_.empty()) return report_store();
  return csv_ ? print_row() : report_folder();
}

int ReportCommand::print_row() const {
  if (!out_.empty()) {
    throw UsageError("--csv writes no page: leave out --out");
  }
  if (!pictures_.empty()) {
    throw UsageError("--csv draws nothing: leave out --pictures");
  }
  fmt::print("{}", sessions_csv({read_session_folder(folder_)}));
  return kExitDone;
}

void ReportCommand::tell(const ReportInput& input,
                         const std::vector<WrittenFile>& written) const {
  if (json_) {
    Json counts = Json::object();
    for (const JudgedFeed& one : input.feeds) {
      const std::string word = one.verdict.empty() ? "not judged" : one.verdict;
      counts[word] = counts.value(word, 0) + 1;
    }
    const Json told{{"judged", input.judged},
                    {"ready", input.ready},
                    {"feeds", input.feeds.size()},
                    {"counts", counts}};
    fmt::print("{}", json_with_written(json_text(told), written));
  } else if (!quiet_) {
    const bool taken = is_standard_stream(written.front().path);
    print_words(words_with_written("", written), taken ? stderr : stdout);
  }
}

int ReportCommand::report_folder() const {
  const fs::path folder = folder_;
  const fs::path out = out_.empty() ? folder / "report.html" : fs::path(out_);
  const NamedText profile_text = find_profile(profile_);
  JobFiles files;
  files.reads("--profile", profile_text.file);
  for (const char* name : kSessionFiles) files.reads("DIR", folder / name);
  std::error_code none;  // what reads a folder that is not there says so
  if (!out_.empty() || fs::is_directory(folder, none)) {
    files.writes(out_.empty() ? "DIR" : "--out", out);
  }
  if (json_) files.writes("--json", "-");
  files.check();
  const Profile profile = load_profile(profile_text);
  ReportInput input = load_report_input(folder);
  input.surface = profile.surface;
  input.landing_zone = profile.landing_zone;
  input.provenance = read_provenance(folder);
  const std::string page = report_page(input);
  const WrittenFile drawings =
      write_drawings(pictures_, [&] { return session_drawings(input); });
  write_output(out, page);
  tell(input, {{out, "the page: open it"}, drawings});
  return kExitDone;
}

int ReportCommand::report_store() const {
  const NamedText profile_text = find_profile(profile_);
  const fs::path out(out_);
  JobFiles files;
  files.reads("--profile", profile_text.file);
  files.reads("--db", db_);
  const Profile profile = load_profile(profile_text);
  const auto store = open_store(db_, StoreUse::kRead);
  const std::vector<SessionHead> heads = store->sessions(launcher_);
  std::vector<std::string> names{"index.html"};
  for (const SessionHead& one : heads) names.push_back(page_name(one.id));
  files.writes_in("--out", out, {names.begin(), names.end()});
  files.check();
  std::vector<FileText> pages;
  std::vector<IndexedSession> sessions;
  for (const SessionHead& head : heads) {
    IndexedSession one;
    one.address = page_name(head.id);
    one.input = report_input_of(store->session(head.id),
                                fmt::format("session {}", head.id));
    one.input.of_store = true;
    one.input.surface = profile.surface;
    one.input.landing_zone = profile.landing_zone;
    pages.push_back({out / one.address, report_page(one.input)});
    sessions.push_back(std::move(one));
  }
  const std::string title =
      launcher_.empty() ? fs::path(db_).filename().string() : launcher_;
  pages.push_back({out / "index.html", index_page(title, sessions)});
  const OutputFolder folder(out);
  write_files_whole(pages);
  const std::vector<WrittenFile> written{
      {out / "index.html",
       "the page over " + counted(std::ssize(sessions), "session") +
           ": open it"}};
  if (json_) {
    const Json told{{"sessions", sessions.size()}};
    fmt::print("{}", json_with_written(json_text(told), written));
  } else if (!quiet_) {
    print_words(words_with_written("", written));
  }
  return kExitDone;
}

}  // namespace evenfeed
