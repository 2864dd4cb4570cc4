// SPDX-License-Identifier: MIT
#include "cli/job_files.h"

#include "base/atomic_file.h"
#include "base/error.h"
#include "support/temp_dir.h"

#include <doctest/doctest.h>

using namespace evenfeed;
namespace fs = std::filesystem;

namespace {

JobFiles job(const fs::path& in, const fs::path& out, const fs::path& other) {
  JobFiles files;
  files.reads("VIDEO", in);
  files.writes("--out", out);
  files.writes("--summary", other);
  return files;
}

}  // namespace

TEST_CASE("an output that is an input under any name is refused") {
  const TempDir dir("job-files");
  make_folder(dir / "sub");
  write_file_whole(dir / "film.mp4", "film");
  fs::create_hard_link(dir / "film.mp4", dir / "hard.mp4");
  fs::create_symlink(dir / "film.mp4", dir / "soft.mp4");
  fs::create_directory_symlink(dir.path(), dir / "way");
  int refused = 0;
  for (const char* name : {"film.mp4",
                           "hard.mp4",
                           "soft.mp4",
                           "sub/../film.mp4",
                           "way/film.mp4"}) {
    CAPTURE(name);
    const JobFiles files = job(dir / "film.mp4", dir / name, "");
    CHECK_THROWS_AS(files.check(), UsageError);
    ++refused;
  }
  CHECK(refused == 5);
  // An input that is not there yet is known by its name.
  CHECK_THROWS_AS(job(dir / "no.csv", dir / "sub/../no.csv", "").check(),
                  UsageError);
  CHECK_NOTHROW(job(dir / "film.mp4", dir / "feeds.csv", "").check());
  CHECK_NOTHROW(job(dir / "film.mp4", "", "").check());
}

TEST_CASE("two outputs to one place are refused, standard output too") {
  const TempDir dir("job-outputs");
  write_file_whole(dir / "old", "old");
  fs::create_hard_link(dir / "old", dir / "same");
  CHECK_THROWS_AS(job("", dir / "x", dir / "x").check(), UsageError);
  CHECK_THROWS_AS(job("", dir / "old", dir / "same").check(), UsageError);
  CHECK_THROWS_AS(job("", "-", "-").check(), UsageError);
  CHECK_NOTHROW(job("", "-", dir / "x").check());
  CHECK_NOTHROW(job("", dir / "old", dir / "x").check());
}

TEST_CASE("outputs that cannot be files, folders that cannot be folders") {
  const TempDir dir("job-places");
  make_folder(dir / "folder");
  write_file_whole(dir / "file", "text");
  CHECK_THROWS_AS(job("", dir / "folder", "").check(), InputError);
  CHECK_THROWS_AS(job("", "/dev/null", "").check(), InputError);
  CHECK_THROWS_AS(job("", dir / "absent/x", "").check(), InputError);
  const auto into = [](const fs::path& folder, const fs::path& in) {
    JobFiles files;
    files.reads("--bench", in);
    files.writes_in("--out", folder, {"bench.toml", "feeds.csv"});
    files.check();
  };
  CHECK_THROWS_AS(into(dir / "file", ""), InputError);
  CHECK_THROWS_AS(into(dir / std::string(300, 'x'), ""), InputError);
  CHECK_NOTHROW(into(dir / "new/and/deep", ""));
  CHECK_NOTHROW(into(dir / "folder", dir / "bench.toml"));
  write_file_whole(dir / "folder/bench.toml", "");
  CHECK_THROWS_AS(into(dir / "folder", dir / "folder/bench.toml"), UsageError);
}

TEST_CASE("a place that takes no files is refused before any work") {
  CHECK_THROWS_AS(job("", "/proc/feeds.csv", "").check(), InputError);
  const TempDir dir("job-place");
  CHECK_NOTHROW(job("", dir / "feeds.csv", "").check());
  CHECK(fs::is_empty(dir.path()));
}
