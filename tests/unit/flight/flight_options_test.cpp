// SPDX-License-Identifier: MIT
#include "flight/flight_options.h"

#include "base/atomic_file.h"
#include "base/check.h"

#include <filesystem>
#include <string>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

FlightOptions from_profile(const std::string& name, const std::string& more) {
  const std::filesystem::path file =
      std::filesystem::path(EVENFEED_ROOT) / "profiles" / (name + ".toml");
  std::string text = read_file(file);
  const std::string section = "[flight]";
  const auto at = text.find(section);
  REQUIRE(at != std::string::npos);
  // Behind the comment that may stand beside the section's name.
  text.insert(text.find('\n', at) + 1, more);
  return load_flight_options(TomlTable::parse(text, name));
}

}  // namespace

TEST_CASE("how far the balls of a session differ is the profile's to say") {
  const FlightOptions table = from_profile("table-tennis", "");
  // Diameters and masses of leaflet T3, spread evenly: sd range / sqrt(12).
  const double table_size = (40.6 - 40.0) / 40.3 / std::sqrt(12.);
  const double table_mass = (2.77 - 2.67) / 2.72 / std::sqrt(12.);
  CHECK(
      table.drag_between ==
      doctest::Approx(table.drag.mean * std::hypot(2 * table_size, table_mass))
          .epsilon(1e-3));
  // So its bounces, to 240 to 260 mm from 305.
  const double bounces =
      (std::sqrt(260. / 305) - std::sqrt(240. / 305)) / std::sqrt(12.);
  CHECK(table.restitution_between == doctest::Approx(bounces).epsilon(1e-3));
  const FlightOptions court = from_profile("pickleball", "");
  // Diameter^2 / mass of Rulebook 2.D, limits as two sd.
  const double size = (75.4 - 72.9) / (75.4 + 72.9);
  const double mass = (26.5 - 22.1) / (26.5 + 22.1);
  const double half = std::hypot(2 * size, mass);
  CHECK(court.drag_between ==
        doctest::Approx(court.drag.mean * half / 2).epsilon(0.05));
  CHECK(court.fastest_mps == 40);
}

TEST_CASE("the room is as warm as the profile says, within reason") {
  CHECK(from_profile("table-tennis", "").temperature_C == 20);
  CHECK(from_profile("pickleball", "temperature_C = 31\n").temperature_C == 31);
  CHECK_THROWS_WITH_AS(from_profile("pickleball", "temperature_C = 200\n"),
                       doctest::Contains("temperature_C"),
                       InputError);
}

TEST_CASE("spin that is known narrows what is believed of lift") {
  const FlightOptions open = from_profile("table-tennis", "");
  CHECK(open.lift_in.mean == 0);
  CHECK(open.lift_in.sd == 0.20);
  CHECK(open.lift_out.sd == 0.20);
  const FlightOptions top = from_profile("table-tennis", "spin = \"top\"\n");
  CHECK(top.lift_in.mean == -0.12);  // down
  CHECK(top.lift_in.sd == 0.10);
  CHECK(top.lift_out.mean == -0.12);
  CHECK(top.lift_any.sd == 0.20);  // a return may have any
  FlightOptions said = top;        // what is said later goes before it
  said.believe_spin(Spin::kBack);
  CHECK(said.lift_in.mean == 0.12);
  CHECK(said.lift_in.sd == 0.10);
  CHECK(said.lift_out.mean == 0);  // the bounce may have turned it
  CHECK(said.lift_out.sd == 0.20);
  said.believe_spin(Spin::kNone);
  CHECK(said.lift_in.mean == 0);
  CHECK(said.lift_in.sd == 0.05);
  said.believe_spin(Spin::kUnknown);
  CHECK(said.lift_in.mean == 0);
  CHECK(said.lift_in.sd == 0.20);
  CHECK_THROWS_WITH_AS(from_profile("table-tennis", "spin = \"left\"\n"),
                       doctest::Contains("'left'"),
                       InputError);
  CHECK_FALSE(spin_of(""));
}

TEST_CASE("a prior about flights that cannot be is refused") {
  const std::string text = "[ball]\nradius_mm = 20\nmass_g = 2.7\n[flight]\n";
  const auto load = [&](const std::string& line) {
    return load_flight_options(TomlTable::parse(text + line, "p.toml"));
  };
  CHECK(load("fastest_mps = 55").fastest_mps == 55);
  CHECK(load("drag_between = 0.03").drag_between == 0.03);
  CHECK(load("restitution_between = 0.02").restitution_between == 0.02);
  for (const char* line :
       {"drag_between = 0", "restitution_between = -0.01", "fastest_mps = 0"}) {
    CAPTURE(line);
    CHECK_THROWS_AS(load(line), InputError);
  }
}
