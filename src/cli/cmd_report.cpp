// SPDX-License-Identifier: MIT
#include "cli/cmd_report.h"

#include "cli/job_files.h"
#include "cli/profile_lookup.h"
#include "pipeline/profile.h"
#include "report/page.h"

#include <filesystem>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

namespace evenfeed {

void ReportCommand::setup(CLI::App& app) {
  app.add_option(
         "DIR", folder_, "Session folder: tagged.csv or feeds.csv in it")
      ->required();
  app.add_option(
         "--profile", profile_, "Profile NAME or FILE: the surface to draw")
      ->capture_default_str();
  app.add_option("--out",
                 out_,
                 "Page to write, default DIR/report.html; - for "
                 "standard output");
  app.add_flag("--quiet", quiet_, "Say nothing but errors");
}

int ReportCommand::run() {
  const std::filesystem::path folder = folder_;
  const std::filesystem::path out =
      out_.empty() ? folder / "report.html" : std::filesystem::path(out_);
  const std::filesystem::path profile_file = find_profile(profile_);
  JobFiles files;
  files.reads("--profile", profile_file);
  for (const char* name :
       {"tagged.csv", "feeds.csv", "summary.json", "bench.toml"}) {
    files.reads("DIR", folder / name);
  }
  std::error_code none;  // what reads a folder that is not there says so
  if (!out_.empty() || std::filesystem::is_directory(folder, none)) {
    files.writes(out_.empty() ? "DIR" : "--out", out);
  }
  files.check();
  const Profile profile = load_profile(profile_file);
  ReportInput input = load_report_input(folder);
  input.surface = profile.surface;
  input.landing_zone = profile.landing_zone;
  write_output(out, report_page(input));
  if (!quiet_ && !is_standard_output(out)) fmt::print("{}\n", out.string());
  return kExitDone;
}

}  // namespace evenfeed
