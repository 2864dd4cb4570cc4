// SPDX-License-Identifier: MIT
#include "simulate/scene_file.h"

#include "base/atomic_file.h"
#include "base/error.h"

#include <filesystem>

#include "test_scene.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

const std::string& short_text() {
  static const std::string text =
      read_file(std::filesystem::path(EVENFEED_ROOT) /
                "profiles/scenes/short640p60.toml");
  return text;
}

std::string replaced(const std::string& from, const std::string& to) {
  std::string text = short_text();
  const auto at = text.find(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

std::string refusal(const std::string& text) {
  try {
    parse_scene(text, "a.toml", profile_table_of_tree);
  } catch (const InputError& error) {
    return error.what();
  }
  return "";
}

}  // namespace

TEST_CASE("every scene that ships can be read") {
  int scenes = 0;
  const auto folder =
      std::filesystem::path(EVENFEED_ROOT) / "profiles" / "scenes";
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    CAPTURE(entry.path().string());
    const Scene scene = load_scene(entry.path(), profile_table_of_tree);
    CHECK(scene.surface.length_m == doctest::Approx(2.74));
    CHECK(scene.launcher.feeds > 0);
    ++scenes;
  }
  CHECK(scenes == 7);
  const Scene demo = load_scene(
      std::filesystem::path(EVENFEED_ROOT) / "examples" / "demo.toml",
      profile_table_of_tree);
  CHECK(demo.sample.present);
  CHECK(demo.launcher.misfeeds == std::vector<int>{21});
}

TEST_CASE("the scene that explains every key uses every key") {
  // Reading with defaults taken away is not possible from here; instead each
  // key of the other scenes must also stand in the explained one.
  const auto folder =
      std::filesystem::path(EVENFEED_ROOT) / "profiles" / "scenes";
  const std::string full = read_file(folder / "overhead720p60.toml");
  int keys = 0;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    std::istringstream lines(read_file(entry.path()));
    for (std::string line; std::getline(lines, line);) {
      const auto equals = line.find(" =");
      if (line.empty() || line[0] == '#' || equals == std::string::npos) {
        continue;
      }
      CAPTURE(line);
      CHECK(full.find("\n" + line.substr(0, equals) + " =") !=
            std::string::npos);
      ++keys;
    }
  }
  CHECK(keys > 150);
}

TEST_CASE("units are converted once") {
  const Scene scene = shipped_scene("overhead720p60");
  CHECK(scene.camera.model.exposure_s == doctest::Approx(0.0025));
  CHECK(scene.camera.model.eye_in_table_m().z() == doctest::Approx(2.45));
  CHECK(scene.launcher.exit_m.x() == doctest::Approx(-1.55));
  CHECK(scene.launcher.topspin_radps.mean == doctest::Approx(75.398));
  CHECK(scene.launcher.warm_up_speed_mps == doctest::Approx(-0.22));
  CHECK(scene.ball.radius_m == doctest::Approx(0.02015));
}

TEST_CASE("a bad scene is refused by file, line and key") {
  CHECK(refusal(replaced("fps = 60", "fbs = 60")).find("fps") !=
        std::string::npos);
  struct Bad {
    const char* from;
    const char* to;
    const char* says;
  };
  int cases = 0;
  for (const Bad& bad : {
           Bad{"k1 = -0.05", "k1 = -0.05\nbokeh = 1", "camera.bokeh"},
           Bad{"fps = 60",
               "fps = 60\nbump = [{ at_s = 3 }, { at_s = 2 }]",
               "bump.at_s"},
           Bad{"fps = 60",
               "fps = 60\nbump = [{ turn_deg = [1, 0, 0] }]",
               "at_s"},
           Bad{"fps = 60",
               "fps = 60\nbump = [{ at_s = 3, turn_deg = [90, 0, 0] }]",
               "bump.turn"},
           Bad{"fps = 60", "fps = \"60\"", "camera.fps"},
           Bad{"fps = 60", "fps = nan", "camera.fps"},
           Bad{"fps = 60", "fps = -60", "fps"},
           Bad{"exposure_ms = 2", "exposure_ms = 40", "exposure"},
           Bad{"up = [0, 1, 0]", "up = [0, 1]", "camera.up"},
           Bad{"height_px = 480", "height_px = 481", "even"},
           Bad{"feeds = 4", "feeds = 4.5", "launcher.feeds"},
           Bad{"speed_mps = 6.5", "speed_mps = inf", "launcher.speed_mps"},
           Bad{"speed_sd_mps = 0.035", "speed_sd_mps = -1", "speed_mps"},
           Bad{"crf = 18", "crf = 90", "crf"},
           Bad{"[film]", "[movie]", "movie"},
       }) {
    CAPTURE(bad.to);
    const std::string message = refusal(replaced(bad.from, bad.to));
    CHECK(message.find("a.toml:") == 0);
    CHECK(message.find(bad.says) != std::string::npos);
    ++cases;
  }
  CHECK(cases == 15);
  CHECK(refusal(short_text()).empty());
}

TEST_CASE("a misspelt key is told with every key that is allowed there") {
  const std::string says = refusal(replaced(
      "fps = 60", "fps = 60\nbump = [{ at_s = 3, turn_dg = [1, 0, 0] }]"));
  CHECK(says.find("turn_dg") != std::string::npos);
  CHECK(says.find("at_s, shift_mm, turn_deg") != std::string::npos);
}
