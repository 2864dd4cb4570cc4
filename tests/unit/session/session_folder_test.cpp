// SPDX-License-Identifier: MIT
#include "session/session_folder.h"

#include "base/atomic_file.h"
#include "base/error.h"
#include "support/temp_dir.h"

#include <limits>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("what a film leaves uncertain in all its feeds, beside its feeds") {
  const TempDir dir("session-folder");
  const SharedCause drag{
      "drag", "balls A", 0.5, 0.05, 0.01, {{"x_mm", 0.3}, {"kick", -0.01}}};
  const auto folder = [&](const char* name, const std::string& sha256) {
    make_folder(dir / name);
    Provenance film;
    film.head.source.path = "film.mp4";
    film.head.source.sha256 = sha256;
    const double unknown = std::numeric_limits<double>::quiet_NaN();
    write_file_whole(
        dir / name / "session.json",
        film_json(film, {{{"x_mm", 0.5}, {"turn_deg", unknown}}, {drag}}));
    return (dir / name / "tagged.csv").string();
  };
  const std::string k = folder("K", "aa");
  const std::string m = folder("M", "bb");
  const auto two = shared_uncertainties({k, m});
  REQUIRE(two.size() == 2);
  CHECK(two[0] == SharedUncertainty{{{"x_mm", 0.5}}, {drag}});
  CHECK(two[1] == two[0]);
  // One film: it is the same error in both.
  const auto same = shared_uncertainties({k, folder("K-again", "aa")});
  CHECK(same == std::vector<SharedUncertainty>(2));
  // Feeds from elsewhere, and a folder of an earlier version, tell nothing.
  const auto bare = shared_uncertainties({k, (dir / "feeds.csv").string()});
  CHECK(bare[0].sigma.size() == 1);
  CHECK(bare[1].empty());
  write_file_whole(dir / "M" / "session.json", "{\"sha256\": \"bb\"}");
  CHECK(shared_uncertainties({k, m})[1].empty());
  write_file_whole(dir / "M" / "session.json",
                   "{\"shared_uncertainty\": {\"x_mm\": \"much\"}}");
  CHECK_THROWS_WITH_AS(shared_uncertainties({k, m}),
                       doctest::Contains("'x_mm' is missing or not a number"),
                       InputError);
  for (const auto& [list, told] :
       {std::pair{"3", "'shared_causes' is missing or not a list"},
        {"[3]", "'shared_causes' is missing or not a list of objects"},
        {R"([{"cause": "drag", "of": ""}])",
         "'believed' is missing or not a number"},
        {R"([{"cause": "drag", "believed": 0, "sd": 0, "spread": 0}])",
         "'sd' is missing or not above 0"}}) {
    write_file_whole(dir / "M" / "session.json",
                     std::string("{\"shared_causes\": ") + list + "}");
    CHECK_THROWS_WITH_AS(
        shared_uncertainties({k, m}), doctest::Contains(told), InputError);
  }
}

TEST_CASE("what a session folder tells of its film is read back as written") {
  const TempDir dir("provenance");
  Provenance film;
  film.head.source = {"/films/a \"b\".mp4", 12, "abc"};
  film.head.started_at = *parse_date_time("2026-03-14T15:30:05Z");
  film.head.dated_by = kDatedByFilm;
  film.head.program_version = "9.8.7";
  film.head.profile_name = "table-tennis";
  film.head.launcher = "bench-A";
  film.head.sample = "sheet <K>";
  film.head.note = "windy";
  film.settings = {{"wheel", "40"}};
  film.sample_properties = {{"hardness", "47"}};
  film.film = {1280, 720, 2881, 48.02, 1, 0.018};
  write_file_whole(dir / "session.json", film_json(film, {}));
  const Provenance back = read_provenance(dir.path());
  CHECK(back.head.source.path == film.head.source.path);
  CHECK(back.head.source.bytes == 12);
  CHECK(back.film.clock_sd == 0.018);
  CHECK(back.head.source.sha256 == "abc");
  CHECK(back.head.started_at == film.head.started_at);
  CHECK(back.head.dated_by == "film");
  CHECK(back.head.program_version == "9.8.7");
  CHECK(back.head.profile_name == "table-tennis");
  CHECK(back.head.launcher == "bench-A");
  CHECK(back.head.sample == "sheet <K>");
  CHECK(back.head.ball_set.empty());
  CHECK(back.head.note == "windy");
  CHECK(back.settings == film.settings);
  CHECK(back.sample_properties == film.sample_properties);
  CHECK(back.film.width_px == 1280);
  CHECK(back.film.height_px == 720);
  CHECK(back.film.frames == 2881);
  CHECK(back.film.duration_s == 48.02);
  // A folder that tells nothing is no fault; a broken file is.
  CHECK(read_provenance(dir / "absent").head.launcher.empty());
  write_file_whole(dir / "session.json", "{\"launcher\": 5}");
  CHECK_THROWS_AS(read_provenance(dir.path()), InputError);
}

TEST_CASE("session.json: numbers that cannot be, and what is nested too deep") {
  const TempDir dir("session-json");
  const auto refusal = [&](const std::string& text) -> std::string {
    write_file_whole(dir / "session.json", text);
    try {
      (void)read_provenance(dir.path());
    } catch (const InputError& error) {
      return error.what();
    }
    return {};
  };
  int refused = 0;
  for (const char* number : {"1e300", "-1", "2.5"}) {
    CAPTURE(number);
    const std::string message =
        refusal(std::string("{\"picture\": {\"frames\": ") + number + "}}");
    CHECK(message.find("'frames'") != std::string::npos);
    refused += message.empty() ? 0 : 1;
  }
  CHECK(refused == 3);
  const std::string deep(100'000, '[');
  CHECK_FALSE(
      refusal("{\"a\": " + deep + std::string(deep.size(), ']') + "}").empty());
  CHECK(refusal("{\"picture\": {\"frames\": 12}}").empty());
}

TEST_CASE("pictures of an older session go, other files stay") {
  const TempDir dir("other-pictures");
  make_folder(dir / "pictures");
  for (const int feed : {1, 2, 1203}) {
    write_file_whole(dir / feed_picture(feed), "jpeg");
  }
  write_file_whole(dir / "pictures/notes.txt", "somebody's");
  CHECK(std::filesystem::exists(dir / "pictures/feed-1203.jpg"));
  remove_other_pictures(dir.path(), {2});
  CHECK_FALSE(std::filesystem::exists(dir / feed_picture(1)));
  CHECK(std::filesystem::exists(dir / feed_picture(2)));
  CHECK_FALSE(std::filesystem::exists(dir / feed_picture(1203)));
  CHECK(std::filesystem::exists(dir / "pictures/notes.txt"));
  std::filesystem::remove(dir / "pictures/notes.txt");
  remove_other_pictures(dir.path(), {});
  CHECK_FALSE(std::filesystem::exists(dir / "pictures"));
  remove_other_pictures(dir.path(), {1});  // nothing there: nothing to do
}

TEST_CASE("what a film's times were divided by is kept") {
  const TempDir dir("slow-film");
  Provenance film;
  film.film.slow = 8;
  write_file_whole(dir / "session.json", film_json(film, {}));
  CHECK(read_provenance(dir.path()).film.slow == 8);
}
