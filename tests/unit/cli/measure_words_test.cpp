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
