// SPDX-License-Identifier: MIT
#include "base/file_set.h"

#include "base/atomic_file.h"
#include "base/error.h"
#include "support/temp_dir.h"

#include <iterator>

#include <doctest/doctest.h>

using namespace evenfeed;
namespace fs = std::filesystem;

TEST_CASE("a staged folder's files come together, and the old stay till then") {
  const TempDir dir("staged");
  const fs::path out = dir / "new/out";
  {
    const StagedFolder refused(out);
    write_file_whole(refused.path() / "a", "1");
  }
  CHECK_FALSE(fs::exists(dir / "new"));  // made for nothing
  make_folder(out);
  write_file_whole(out / "a", "old");
  write_file_whole(out / "mine", "kept");
  {
    StagedFolder staged(out);
    write_file_whole(staged.path() / "a", "new");
    write_file_whole(staged.path() / "b", "new");
    CHECK(read_file(out / "a") == "old");
    CHECK_FALSE(fs::exists(out / "b"));
    staged.commit();
  }
  CHECK(read_file(out / "a") == "new");
  CHECK(read_file(out / "b") == "new");
  CHECK(std::distance(fs::directory_iterator(out), {}) == 3);
}

TEST_CASE("a staged set that cannot take its places leaves the old") {
  const TempDir dir("staged-refused");
  write_file_whole(dir / "a", "old");
  make_folder(dir / "b");
  {
    StagedFolder staged(dir.path());
    write_file_whole(staged.path() / "a", "new");
    write_file_whole(staged.path() / "b", "new");
    CHECK_THROWS_AS(staged.commit(), InputError);
  }
  CHECK(read_file(dir / "a") == "old");
  CHECK(std::distance(fs::directory_iterator(dir.path()), {}) == 2);
}

TEST_CASE("folders in a staged folder take their places with the files") {
  const TempDir dir("staged-folders");
  make_folder(dir / "p");
  write_file_whole(dir / "p/1", "old");
  write_file_whole(dir / "p/own", "somebody's");
  {
    StagedFolder staged(dir.path());
    make_folder(staged.path() / "p");
    make_folder(staged.path() / "q");
    write_file_whole(staged.path() / "a", "new");
    write_file_whole(staged.path() / "p/1", "new");
    write_file_whole(staged.path() / "q/2", "new");
    CHECK(read_file(dir / "p/1") == "old");
    staged.commit();
  }
  CHECK(read_file(dir / "a") == "new");
  CHECK(read_file(dir / "p/1") == "new");
  CHECK(read_file(dir / "p/own") == "somebody's");
  CHECK(read_file(dir / "q/2") == "new");
  CHECK(std::distance(fs::directory_iterator(dir.path()), {}) == 3);
  {  // one that cannot be there leaves all of them out
    make_folder(dir / "p/3");
    StagedFolder staged(dir.path());
    make_folder(staged.path() / "p");
    make_folder(staged.path() / "r");
    write_file_whole(staged.path() / "p/1", "newer");
    write_file_whole(staged.path() / "p/3", "newer");
    write_file_whole(staged.path() / "r/4", "newer");
    CHECK_THROWS_AS(staged.commit(), InputError);
  }
  CHECK(read_file(dir / "p/1") == "new");
  CHECK_FALSE(fs::exists(dir / "r"));
}

TEST_CASE("a folder made for files that did not come is not left behind") {
  const TempDir dir("output-folder");
  { const OutputFolder none(dir / "a/b"); }
  CHECK_FALSE(fs::exists(dir / "a"));
  {
    const OutputFolder some(dir / "a/b");
    write_file_whole(dir / "a/b/c", "1");
  }
  CHECK(fs::exists(dir / "a/b/c"));
  { const OutputFolder old(dir.path()); }
  CHECK(fs::exists(dir.path()));
}

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
