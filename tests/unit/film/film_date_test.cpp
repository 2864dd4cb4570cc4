// SPDX-License-Identifier: MIT
#include "film/film_date.h"

#include "base/atomic_file.h"
#include "support/temp_dir.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// The creation time of an MP4 file is the first field after version and flags
// in the box 'mvhd': seconds since 1904 in four bytes, the greatest first
// (ISO/IEC 14496-12, version 0 of the box; from memory).
std::string dated(std::string film, UnixSeconds when) {
  const std::size_t box = film.find("mvhd");
  REQUIRE(box != std::string::npos);
  REQUIRE(film[box + 4] == 0);
  const auto since_1904 = static_cast<std::uint32_t>(when + 2082844800);
  for (int i = 0; i < 4; ++i) {
    film[box + 8 + i] = static_cast<char>(since_1904 >> (24 - 8 * i));
  }
  return film;
}

}  // namespace

TEST_CASE("the container tells when a film was taken") {
  const TempDir dir("film-date");
  const std::string film =
      read_file(EVENFEED_ROOT "/tests/cli/input/no-table.mp4");
  const auto date_of = [&](const std::string& bytes) {
    write_file_whole(dir / "film.mp4", bytes);
    return film_creation_time(dir / "film.mp4");
  };
  const UnixSeconds taken = *parse_date_time("2026-03-14T15:30:05Z");
  CHECK(date_of(dated(film, taken)) == taken);
  CHECK_FALSE(date_of(film).has_value());
  CHECK_FALSE(date_of(dated(film, 3600)).has_value());
  CHECK_FALSE(date_of("no film").has_value());
  CHECK_FALSE(film_creation_time(dir / "absent.mp4").has_value());
}
