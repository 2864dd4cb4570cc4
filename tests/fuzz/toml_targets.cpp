// SPDX-License-Identifier: MIT
#include "calibration/calibration_files.h"
#include "fuzz/target.h"
#include "geometry/bench.h"
#include "pipeline/profile.h"
#include "simulate/scene.h"
#include "simulate/scene_file.h"
#include "simulate/weeks.h"

namespace evenfeed::fuzz {

std::vector<Target> toml_targets() {
  std::vector<Target> all;
  all.push_back(
      {"profile", {"profiles/table-tennis.toml"}, [](const std::string& bytes) {
         (void)parse_profile(bytes, "profile.toml");
       }});
  all.push_back({"scene",
                 {"profiles/scenes/short640p60.toml",
                  "profiles/scenes/nuisance720p60.toml"},
                 [](const std::string& bytes) {
                   (void)parse_scene(bytes, "scene.toml", [](std::string_view) {
                     return TomlTable::read(EVENFEED_ROOT
                                            "/profiles/table-tennis.toml");
                   });
                 }});
  all.push_back(
      {"weeks", {"tests/cli/input/weeks.toml"}, [](const std::string& bytes) {
         (void)load_weeks(TomlTable::parse(bytes, "weeks.toml"));
       }});
  all.push_back(
      {"bench", {"tests/cli/input/bench.toml"}, [](const std::string& bytes) {
         (void)bench_text(parse_bench(bytes, "bench.toml"));
       }});
  all.push_back(
      {"lens", {"tests/fuzz/seeds/lens.toml"}, [](const std::string& bytes) {
         (void)parse_lens(bytes, "lens.toml");
       }});
  return all;
}

}  // namespace evenfeed::fuzz
