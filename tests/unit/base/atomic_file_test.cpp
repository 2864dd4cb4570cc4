// SPDX-License-Identifier: MIT
#include "base/atomic_file.h"

#include "base/error.h"
#include "support/temp_dir.h"

#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

using namespace evenfeed;
namespace fs = std::filesystem;

namespace {

std::vector<std::string> synced;  // what was synced, by the name it had then

}  // namespace

// Stands in for the C library's in this program, and keeps what was asked.
extern "C" int fsync(int handle) {
  std::error_code none;
  const fs::path link = "/proc/self/fd/" + std::to_string(handle);
  synced.push_back(fs::read_symlink(link, none).string());
  return 0;
}

TEST_CASE(
    "a file is put on the disk before it takes its place, then its name") {
  const TempDir dir("durable");
  synced.clear();
  write_file_whole(dir / "a.csv", "feed\n1\n");
  REQUIRE(synced.size() == 2);
  CHECK(synced[0].find(".a.") != std::string::npos);  // not yet in its place
  CHECK(synced[0].find("partial") != std::string::npos);
  CHECK(synced[1] == fs::canonical(dir.path()).string());
  CHECK(read_file(dir / "a.csv") == "feed\n1\n");
}

TEST_CASE("what is not a file is never replaced by one") {
  const TempDir dir("not-a-file");
  make_folder(dir / "folder");
  REQUIRE(::mkfifo((dir / "pipe").c_str(), 0600) == 0);
  fs::create_symlink("/dev/null", dir / "to-device");
  int refused = 0;
  for (const char* name : {"folder", "pipe", "to-device"}) {
    CAPTURE(name);
    try {
      write_file_whole(dir / name, "text");
    } catch (const InputError& error) {
      const std::string words = error.what();
      CHECK(words.find(name) != std::string::npos);
      CHECK(words.find("not a file") != std::string::npos);
      ++refused;
    }
  }
  CHECK(refused == 3);
  CHECK(fs::is_fifo(dir / "pipe"));
  CHECK(fs::is_symlink(dir / "to-device"));
  CHECK_THROWS_AS(write_file_whole(dir / std::string(300, 'x'), "text"),
                  InputError);
}

TEST_CASE(
    "what a killed run left is removed by the next one to the same file") {
  const TempDir dir("leftovers");
  const pid_t child = ::fork();
  REQUIRE(child >= 0);
  if (child == 0) ::_exit(0);
  REQUIRE(::waitpid(child, nullptr, 0) == child);
  const auto of =
      [&](pid_t writer, const std::string& name, const std::string& end) {
        std::ofstream(dir / (name + std::to_string(writer) + end)) << "half";
      };
  of(child, ".a.", ".partial.csv");
  of(child, ".a.", ".partial.csv-wal");
  of(::getppid(), ".a.", ".partial.csv");  // alive: at work
  of(child, ".b.", ".partial.csv");        // of another file
  of(child, ".a.", ".draft");              // not ours
  write_file_whole(dir / "a.csv", "whole");
  const auto names = std::distance(fs::directory_iterator(dir.path()), {});
  CHECK(names == 4);
  CHECK(
      fs::exists(dir / (".a." + std::to_string(::getppid()) + ".partial.csv")));
  CHECK(fs::exists(dir / (".b." + std::to_string(child) + ".partial.csv")));
  CHECK(fs::exists(dir / (".a." + std::to_string(child) + ".draft")));
}

TEST_CASE("a link is replaced, and what it leads to stays") {
  const TempDir dir("link");
  write_file_whole(dir / "theirs", "old");
  fs::create_symlink(dir / "theirs", dir / "link");
  write_file_whole(dir / "link", "new");
  CHECK_FALSE(fs::is_symlink(dir / "link"));
  CHECK(read_file(dir / "link") == "new");
  CHECK(read_file(dir / "theirs") == "old");
}
