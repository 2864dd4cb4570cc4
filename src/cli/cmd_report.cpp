// SPDX-License-Identifier: MIT
#include "cli/cmd_report.h"

#include "base/error.h"
#include "cli/job_files.h"
#include "cli/print_words.h"
#include "cli/profile_lookup.h"
#include "cli/store_words.h"
#include "pipeline/profile.h"
#include "report/page.h"
#include "session/session_folder.h"

#include <filesystem>

#include <fmt/format.h>

namespace evenfeed {

void ReportCommand::setup(Arguments& args) {
  args.add_option(
          "DIR", folder_, "Session folder: tagged.csv or feeds.csv in it")
      .takes("FOLDER")
      .required();
  args.add_option(
          "--profile", profile_, "Profile NAME or FILE: the surface to draw")
      .takes("PROFILE")
      .show_default();
  args.add_option("--out",
                  out_,
                  "Page to write, default DIR/report.html; - for "
                  "standard output")
      .takes("FILE");
  args.add_flag("--csv",
                csv_,
                "Print CSV instead of a page: a row for the session, with "
                "mean and sd of every value");
  args.add_quiet(quiet_);
}

int ReportCommand::run() {
  const std::filesystem::path folder = folder_;
  if (csv_) {
    if (!out_.empty())
      throw UsageError("--csv writes no page: leave out --out");
    fmt::print("{}", sessions_csv({read_session_folder(folder)}));
    return kExitDone;
  }
  const std::filesystem::path out =
      out_.empty() ? folder / "report.html" : std::filesystem::path(out_);
  const NamedText profile_text = find_profile(profile_);
  JobFiles files;
  files.reads("--profile", profile_text.file);
  for (const char* name : kSessionFiles) files.reads("DIR", folder / name);
  std::error_code none;  // what reads a folder that is not there says so
  if (!out_.empty() || std::filesystem::is_directory(folder, none)) {
    files.writes(out_.empty() ? "DIR" : "--out", out);
  }
  files.check();
  const Profile profile = load_profile(profile_text);
  ReportInput input = load_report_input(folder);
  input.surface = profile.surface;
  input.landing_zone = profile.landing_zone;
  input.provenance = read_provenance(folder);
  write_output(out, report_page(input));
  if (!quiet_ && !is_standard_output(out)) print_words(out.string() + "\n");
  return kExitDone;
}

}  // namespace evenfeed
