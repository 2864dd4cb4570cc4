// SPDX-License-Identifier: MIT
#include "base/file_set.h"

#include "base/atomic_file.h"
#include "base/error.h"
#include "support/temp_dir.h"

#include <iterator>

#include <doctest/doctest.h>

using namespace evenfeed;
namespace fs = std::filesystem;

TEST_CASE("files that belong together are all there or none") {
  const TempDir dir("file-set");
  write_file_whole(dir / "a", "old");
  make_folder(dir / "c");
  CHECK_THROWS_AS(
      write_files_whole({{dir / "a", "1"}, {dir / "b", "2"}, {dir / "c", "3"}}),
      InputError);
  CHECK_THROWS_AS(
      write_files_whole({{dir / "a", "1"}, {dir / "absent/d", "2"}}),
      InputError);
  CHECK(read_file(dir / "a") == "old");
  CHECK(std::distance(fs::directory_iterator(dir.path()), {}) == 2);  // no rest
  write_files_whole({{dir / "a", "1"}, {dir / "b", "2"}});
  CHECK(read_file(dir / "a") == "1");
  CHECK(read_file(dir / "b") == "2");
}
