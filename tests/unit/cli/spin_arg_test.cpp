// SPDX-License-Identifier: MIT
#include "cli/spin_arg.h"

#include "flight/flight_options.h"

#include <string>
#include <vector>

#include <CLI/CLI.hpp>
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

FlightOptions after(std::vector<std::string> words_in_reverse) {
  FlightOptions flight;
  flight.believe_spin(Spin::kTop);  // as a profile may say
  Arguments args("", "test");
  SpinArg spin;
  spin.setup(args);
  args.parser().parse(std::move(words_in_reverse));
  spin.apply(flight);
  return flight;
}

}  // namespace

TEST_CASE("--spin goes before the profile, and only if it is given") {
  CHECK(after({}).lift_in.mean == -0.12);
  CHECK(after({"back", "--spin"}).lift_in.mean == 0.12);
  CHECK(after({"none", "--spin"}).lift_in.sd == 0.05);
  CHECK(after({"unknown", "--spin"}).lift_in.sd == 0.20);
  CHECK_THROWS_WITH_AS(after({"sideways", "--spin"}),
                       doctest::Contains("--spin: sideways"),
                       CLI::ValidationError);
}
