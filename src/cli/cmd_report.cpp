// SPDX-License-Identifier: MIT
#include "cli/cmd_report.h"

#include "base/atomic_file.h"
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
  app.add_option("--out", out_, "Page to write, default DIR/report.html");
  app.add_flag("--quiet", quiet_, "Say nothing but errors");
}

int ReportCommand::run() {
  const std::filesystem::path folder = folder_;
  const std::filesystem::path out =
      out_.empty() ? folder / "report.html" : std::filesystem::path(out_);
  const Profile profile = load_profile(find_profile(profile_));
  ReportInput input = load_report_input(folder);
  input.surface = profile.surface;
  input.landing_zone = profile.landing_zone;
  write_file_whole(out, report_page(input));
  if (!quiet_) fmt::print("{}\n", out.string());
  return kExitDone;
}

}  // namespace evenfeed
