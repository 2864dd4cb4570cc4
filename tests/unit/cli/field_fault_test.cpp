// SPDX-License-Identifier: MIT
#include "cli/field_fault.h"

#include <string>
#include <vector>

#include <CLI/CLI.hpp>
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

struct Line {
  CLI::App app{"a command", "evenfeed plan camera"};
  double lambda = 0.1;
  double exposure_ms = 1;
  double caliper_sd = 1;
  std::vector<double> size_px{1280, 720};
  std::vector<double> eye_mm{0, 0, 1};
  std::vector<std::string> samples;

  explicit Line(const std::string& words) {
    app.add_option("--lambda", lambda);
    app.add_option("--exposure-ms", exposure_ms);
    app.add_option("--caliper-sd", caliper_sd);
    app.add_option("--size-px", size_px)->delimiter(',');
    app.add_option("--eye-mm", eye_mm)->delimiter(',');
    app.add_option("--samples", samples)->delimiter(',');
    app.parse(words);
  }
  std::string told(const std::string& words) const {
    return fault_of_field(app, words);
  }
};

}  // namespace

TEST_CASE("a field is told as the option that gave it") {
  CHECK(Line("--lambda=nan").told("lambda = nan: allowed is a number") ==
        "--lambda nan: allowed is a number");
  CHECK(Line("--caliper-sd=inf").told("calipers.all_sd = inf: allowed is x") ==
        "--caliper-sd inf: allowed is x");
  CHECK(Line("--samples=K,K").told("samples: every sample needs a name") ==
        "--samples K,K: samples: every sample needs a name");
}

TEST_CASE("a value in another unit stays beside the option") {
  CHECK(Line("--exposure-ms=-5").told("exposure_s = -0.005: allowed is y") ==
        "--exposure-ms -5: exposure_s = -0.005: allowed is y");
}

TEST_CASE("the same value in two options: the unit tells which") {
  const Line both("--size-px=0,0 --eye-mm=0,0,2");
  CHECK(both.told("width_px = 0: allowed is z") ==
        "--size-px 0,0: width_px = 0: allowed is z");
  CHECK(both.told("width = 0: allowed is z") == "width = 0: allowed is z");
}

TEST_CASE("what no given option says is left as it is") {
  const Line line("--lambda=0.5");
  for (const std::string words : {"run_length = 7: allowed is w",
                                  "profile.toml:3: lambda = 2: not allowed",
                                  "--lambda 0.5: allowed is v",
                                  "name either a film or a file",
                                  ""}) {
    CHECK(line.told(words) == words);
  }
}
