// SPDX-License-Identifier: MIT
#include "cli/session_folder.h"

#include "base/atomic_file.h"
#include "base/error.h"
#include "support/temp_dir.h"

#include <limits>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("what a film leaves uncertain in all its feeds, beside its feeds") {
  const TempDir dir("session-folder");
  const auto folder = [&](const char* name, const std::string& sha256) {
    make_folder(dir / name);
    SourceFile film;
    film.path = "film.mp4";
    film.sha256 = sha256;
    const double unknown = std::numeric_limits<double>::quiet_NaN();
    write_file_whole(
        dir / name / "session.json",
        film_json(
            film, 0, "table-tennis", {{"x_mm", 0.5}, {"turn_deg", unknown}}));
    return (dir / name / "tagged.csv").string();
  };
  const std::string k = folder("K", "aa");
  const std::string m = folder("M", "bb");
  const auto two = shared_uncertainties({k, m});
  REQUIRE(two.size() == 2);
  CHECK(two[0] == SharedUncertainty{{"x_mm", 0.5}});
  CHECK(two[1] == two[0]);
  // One film: it is the same error in both.
  const auto same = shared_uncertainties({k, folder("K-again", "aa")});
  CHECK(same == std::vector<SharedUncertainty>(2));
  // Feeds from elsewhere, and a folder of an earlier version, tell nothing.
  const auto bare = shared_uncertainties({k, (dir / "feeds.csv").string()});
  CHECK(bare[0].size() == 1);
  CHECK(bare[1].empty());
  write_file_whole(dir / "M" / "session.json", "{\"sha256\": \"bb\"}");
  CHECK(shared_uncertainties({k, m})[1].empty());
  write_file_whole(dir / "M" / "session.json",
                   "{\"shared_uncertainty\": {\"x_mm\": \"much\"}}");
  CHECK_THROWS_WITH_AS(shared_uncertainties({k, m}),
                       doctest::Contains("'x_mm' is missing or not a number"),
                       InputError);
}
