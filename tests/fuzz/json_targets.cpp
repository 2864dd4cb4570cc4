// SPDX-License-Identifier: MIT
#include "fuzz/target.h"
#include "plan/trial_count.h"
#include "quality/baseline.h"
#include "quality/baseline_file.h"
#include "report/report_input.h"
#include "report/summary_reader.h"
#include "session/json_file.h"

namespace evenfeed::fuzz {

std::vector<Target> json_targets() {
  std::vector<Target> all;
  all.push_back({"summary",
                 {"tests/fuzz/seeds/summary.json",
                  "tests/cli/input/unfiled-session/summary.json"},
                 [](const std::string& bytes) {
                   ReportInput input;
                   read_summary(bytes, "summary.json", input);
                 }});
  all.push_back({"session",
                 {"tests/cli/input/kept-session/session.json"},
                 [](const std::string& bytes) {
                   const BytesAsFile file(bytes);
                   const JsonFile json(file.path());
                   (void)json.text("launcher");
                   (void)json.properties("settings");
                   (void)json.numbers("shared_uncertainty");
                   (void)json.feed("ready_at_feed");
                   (void)json.without("charts");
                   (void)json.flag("ready");
                   (void)json.whole("bytes");
                 }});
  all.push_back({"baseline",
                 {"tests/fuzz/seeds/baseline.json"},
                 [](const std::string& bytes) {
                   (void)baseline_text(parse_baseline(bytes, "baseline.json"));
                 }});
  all.push_back(
      {"pilot", {"tests/fuzz/seeds/effect.json"}, [](const std::string& bytes) {
         (void)read_pilot(bytes, "effect.json", "");
       }});
  return all;
}

}  // namespace evenfeed::fuzz
