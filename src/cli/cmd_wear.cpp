// SPDX-License-Identifier: MIT
#include "cli/cmd_wear.h"

#include "base/atomic_file.h"
#include "base/file_set.h"
#include "cli/drawing_files.h"
#include "cli/job_files.h"
#include "cli/print_words.h"
#include "cli/profile_lookup.h"
#include "cli/wear_words.h"
#include "cli/written_files.h"
#include "pipeline/profile.h"
#include "report/wear_charts.h"
#include "report/wear_page.h"
#include "store/sqlite_store.h"
#include "wear/wear_file.h"

#include <filesystem>

#include <fmt/format.h>

namespace evenfeed {

void WearCommand::setup(Arguments& args) {
  args.add_option("--db", db_, "The store, as 'session --db' made it")
      .takes("FILE")
      .required();
  args.add_option("--launcher", launcher_, "Name of the launcher")
      .takes("NAME")
      .required();
  args.add_option("--profile",
                  profile_,
                  "Profile NAME or FILE: how much wear is allowed")
      .takes("PROFILE")
      .show_default();
  args.add_option("--out", out_, "Folder for wear.json and wear.html")
      .takes("FOLDER");
  args.add_option("--pictures", pictures_, kPicturesHelp).takes("FOLDER");
  args.add_flag("--json", json_, "Print wear.json, nothing else");
  args.add_quiet(quiet_);
}

int WearCommand::run() {
  const NamedText profile_text = find_profile(profile_);
  JobFiles files;
  files.reads("--db", db_);
  files.reads("--profile", profile_text.file);
  files.writes_in("--out", out_, {"wear.json", "wear.html"});
  files.check();
  const WearOptions options = load_profile(profile_text).wear;
  const auto store = open_store(db_, StoreUse::kRead);
  HistoryBuilder builder(
      launcher_, store->services(launcher_), options.fewest_feeds);
  store->visit_series(
      launcher_, measured_characteristics(), [&](const SessionSeries& series) {
        builder.add(series);
      });
  const WearResult result = judge_wear(builder.finish(), options);
  const std::string json = wear_text(result);
  std::vector<WrittenFile> written;
  if (!out_.empty()) {
    const std::filesystem::path out(out_);
    const OutputFolder folder(out);
    write_files_whole(
        {{out / "wear.json", json}, {out / "wear.html", wear_page(result)}});
    written = {{out / "wear.html", "the page: open it"},
               {out / "wear.json", "what it shows, for programs"}};
  }
  written.push_back(
      write_drawings(pictures_, [&] { return wear_drawings(result); }));
  if (json_) {
    fmt::print("{}", json_with_written(json, written));
  } else if (!quiet_) {
    print_words(words_with_written(wear_words(result), written));
  }
  return kExitDone;
}

}  // namespace evenfeed
