// SPDX-License-Identifier: MIT
#include "live/journal.h"

#include "base/atomic_file.h"
#include "base/error.h"
#include "live/frame_log.h"
#include "live/live_desk.h"
#include "support/temp_dir.h"

#include <cmath>
#include <fstream>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("a line is in the file when append returns; a half line is none") {
  const TempDir folder("journal");
  const auto file = folder / "journal.jsonl";
  CHECK(read_journal(file).empty());
  {
    Journal journal(file);
    journal.append("{\"kind\":\"begin\"}");
    CHECK(read_file(file) == "{\"kind\":\"begin\"}\n");
    journal.append_soon("{\"kind\":\"feed\"}");
  }
  // Killed while it wrote the third.
  std::ofstream(file, std::ios::app) << "{\"kind\":\"fe";
  CHECK(read_journal(file).size() == 2);
  Journal again(file);
  again.append("{\"kind\":\"resumed\"}");
  const auto lines = read_journal(file);
  REQUIRE(lines.size() == 3);
  CHECK(lines[2] == "{\"kind\":\"resumed\"}");
}

TEST_CASE("a journal that cannot be written says so") {
  CHECK_THROWS_WITH_AS(Journal("/nowhere/journal.jsonl"),
                       doctest::Contains("cannot be written"),
                       InputError);
}

TEST_CASE("a frame comes back to the last bit") {
  FrameSightings frame;
  frame.index = 417;
  frame.t_s = 417.0 / 60;
  frame.news.settled_until_s = 5.1;
  Sighting s;
  s.t_s = frame.t_s + 1e-3 / 3;
  s.centre_px = {1.0 / 3, 512.25};
  s.sigma_px = 0.17;
  s.streak_px = {-4.5, 1e-9};
  s.cut_off = true;
  s.frame = 417;
  frame.sightings = {s, s};
  const auto back = read_frame_line(frame_line(frame));
  REQUIRE(back);
  CHECK(back->index == 417);
  CHECK(back->t_s == frame.t_s);
  CHECK(back->news.settled_until_s == 5.1);
  REQUIRE(back->sightings.size() == 2);
  const Sighting& one = back->sightings[1];
  CHECK(one.t_s == s.t_s);
  CHECK(one.centre_px == s.centre_px);
  CHECK(one.streak_px == s.streak_px);
  CHECK(one.cut_off);
  CHECK(std::isnan(one.diameter_px));
  CHECK(one.frame == 417);
  CHECK_FALSE(read_frame_line("417 6.95"));
  CHECK_FALSE(read_frame_line("417 6.95 5.1 0 0.3"));
  CHECK_FALSE(read_frame_line("what is this"));
}

TEST_CASE("what was cut off is known again, with its log") {
  const TempDir folder("cut-off");
  CHECK_FALSE(read_cut_off(folder / ""));
  Journal journal(folder / kJournalFile);
  for (const char* line :
       {R"({"kind":"begin","film":"/f.mp4","profile":"p","bench":"b"})",
        R"({"kind":"log","word":"sample","t_s":1,"text":"K"})",
        R"({"kind":"feed"})",
        R"({"kind":"feed"})",
        R"({"kind":"withdrawn"})",
        R"({"kind":"log","word":"exclude","t_s":2,"text":""})",
        R"({"kind":"log","word":"undo","t_s":2.5,"text":""})"}) {
    journal.append(line);
  }
  auto found = read_cut_off(folder / "");
  REQUIRE(found);
  CHECK_FALSE(found->ended);
  CHECK(found->begin.film == "/f.mp4");
  CHECK(found->feeds == 1);
  REQUIRE(found->log.entries().size() == 1);
  CHECK(found->log.sample_now() == "K");
  journal.append(R"({"kind":"ended"})");
  CHECK(read_cut_off(folder / "")->ended);
  journal.append("no journal");
  CHECK_THROWS_WITH_AS((void)read_cut_off(folder / ""),
                       doctest::Contains("journal.jsonl:9"),
                       InputError);
}
