// SPDX-License-Identifier: MIT
#include "cli/measure_words.h"

#include "base/error.h"

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("what was mended in the film is told before what the fit warns of") {
  Measurement measurement;
  measurement.notes = {"film.mp4: the film ends early", "film.mp4: damaged"};
  measurement.fit.warnings = {"one"};
  CHECK(measurement_warnings(measurement) ==
        std::vector<std::string>{
            "film.mp4: the film ends early", "film.mp4: damaged", "one"});
}

TEST_CASE("a film whose speed nobody vouches for says how well it is known") {
  Measurement measurement;
  CHECK(measurement_summary(measurement).find("--rate") == std::string::npos);
  measurement.fit.common.clock = 0.0193;
  measurement.fit.clock.told = {0.03, 0.071};
  const std::string text = measurement_summary(measurement);
  CHECK(text.find("known to 1.9 % at best") != std::string::npos);
  CHECK(text.find("gravity tells to 7 %") != std::string::npos);
  CHECK(text.find("--slow 1, or --rate") != std::string::npos);
}

TEST_CASE("what sound did is a sentence, and why it did nothing") {
  Measurement measurement;
  CHECK_FALSE(sound_told(measurement));
  CHECK(measurement_summary(measurement).find("sound") == std::string::npos);
  measurement.why_silent = "the film has no sound";
  REQUIRE(sound_told(measurement));
  CHECK_FALSE(sound_told(measurement)->used);
  CHECK(sound_told(measurement)->words ==
        "timed by sight alone, the sound was not used: the film has no sound");
  measurement.why_silent.clear();
  HeardSession heard;
  heard.expected = 50;
  heard.why_not = "of 50 bounces only 3 could be heard beyond doubt";
  measurement.fit.heard = heard;
  CHECK(sound_told(measurement)->words ==
        "timed by sight alone, the sound was not used: of 50 bounces only 3 "
        "could be heard beyond doubt");
  heard.agrees = true;
  heard.heard = 48;
  heard.clock.offset_s = -0.0804;
  heard.clock.drift = 3e-5;
  heard.seen = {3.3e-4, 3.1e-3};
  heard.both = {2.1e-4, 1.24e-3};
  measurement.fit.heard = heard;
  const SoundTold told = sound_told(measurement).value();
  CHECK(told.used);
  CHECK(told.heard == 48);
  CHECK(told.drift_ppm == doctest::Approx(30));
  CHECK(told.words ==
        "48 of 50 bounces were heard; the sound is 80.4 ms early, and places "
        "them to 0.21 ms and 1.2 mm along the table, sight alone to 0.33 ms "
        "and 3.1 mm");
  measurement.fit.heard_contacts.emplace();
  CHECK(sound_told(measurement)->words == told.words);
  measurement.fit.heard_contacts->agrees = true;
  measurement.fit.heard_contacts->expected = 45;
  measurement.fit.heard_contacts->heard = 44;
  CHECK(sound_told(measurement)
            ->words.find(
                "48 of 50 bounces and 44 of 45 contacts with the sample were "
                "heard; ") == 0);
  measurement.fit.heard_contacts.reset();
  CHECK(measurement_summary(measurement).find(told.words + "\n") !=
        std::string::npos);
}

TEST_CASE("without a feed slow motion is named, as found or as a question") {
  Measurement measurement;
  CHECK_THROWS_WITH_AS(require_feeds(measurement, "film.mp4"),
                       doctest::Contains("--slow"),
                       InputError);
  measurement.time_scale = TimeScale{8.2, 0.1, 1};
  CHECK_THROWS_WITH_AS(require_feeds(measurement, "film.mp4"),
                       doctest::Contains("8.2 times slower"),
                       InputError);
}
