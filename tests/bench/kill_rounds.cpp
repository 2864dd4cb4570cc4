// SPDX-License-Identifier: MIT
// 'evenfeed session --db' killed with SIGKILL at random moments: every film
// must be wholly in the store or wholly absent, and the store whole.
//   kill_rounds PROGRAM FILM BENCH FOLDER [--rounds 200] [--seed 1]
// Half of the rounds are killed at any moment of the run, half within 40 ms
// after the report was written, which is when the session is filed. Every
// round films anew: a copy of FILM with other bytes at its end.
#include "base/atomic_file.h"
#include "base/random.h"
#include "base/sha256.h"
#include "store/sqlite_store.h"

#include <chrono>
#include <csignal>
#include <cstring>
#include <filesystem>
#include <random>
#include <string>

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/wait.h>
#include <unistd.h>

using namespace evenfeed;
namespace fs = std::filesystem;

namespace {

using Clock = std::chrono::steady_clock;

double seconds_since(Clock::time_point start) {
  return std::chrono::duration<double>(Clock::now() - start).count();
}

struct Setting {
  fs::path program;
  fs::path film;
  fs::path bench;
  fs::path folder;
  fs::path store() const { return folder / "rounds.db"; }
};

// An empty box of 16 bytes at the end changes nothing but the fingerprint.
fs::path film_of(const Setting& setting, int round) {
  const fs::path copy = setting.folder / "film.mp4";
  std::string bytes = read_file(setting.film);
  bytes += std::string(
               "\0\0\0\x10"
               "free",
               8) +
           fmt::format("{:08}", round);
  write_file_whole(copy, bytes);
  return copy;
}

pid_t start(const Setting& setting, const fs::path& film, const fs::path& out) {
  const pid_t child = ::fork();
  if (child != 0) return child;
  const int nothing = ::open("/dev/null", O_WRONLY);
  ::dup2(nothing, 1);
  ::dup2(nothing, 2);
  ::execl(setting.program.c_str(),
          "evenfeed",
          "session",
          film.c_str(),
          "--bench",
          setting.bench.c_str(),
          "--out",
          out.c_str(),
          "--db",
          setting.store().c_str(),
          "--launcher",
          "bench-A",
          "--sample",
          "sheet-K",
          nullptr);
  ::_exit(127);
}

// Until the child ended, or `until` says so.
template <typename Until>
bool wait_for(pid_t child, const Until& until) {
  while (!until()) {
    int status = 0;
    if (::waitpid(child, &status, WNOHANG) == child) return false;
    ::usleep(200);
  }
  return true;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 5) {
    fmt::print(stderr, "kill_rounds PROGRAM FILM BENCH FOLDER\n");
    return 2;
  }
  const Setting setting{argv[1], argv[2], argv[3], argv[4]};
  int rounds = 200;
  std::uint64_t seed = 1;
  for (int i = 5; i + 1 < argc; i += 2) {
    if (!std::strcmp(argv[i], "--rounds")) rounds = std::atoi(argv[i + 1]);
    if (!std::strcmp(argv[i], "--seed")) {
      seed = std::strtoull(argv[i + 1], nullptr, 10);
    }
  }
  fs::remove_all(setting.folder);
  make_folder(setting.folder);
  // One run to its end: how long it takes, and how many feeds it files.
  const fs::path out = setting.folder / "out";
  const auto began = Clock::now();
  int status = 0;
  ::waitpid(start(setting, film_of(setting, 0), out), &status, 0);
  const double length_s = seconds_since(began);
  if (status != 0) {
    fmt::print(stderr, "the run without a kill failed\n");
    return 1;
  }
  const int feeds = open_store(setting.store(), StoreUse::kRead)->check().feeds;

  auto engine = derived_engine(seed, "kill rounds");
  std::uniform_real_distribution<double> uniform;
  int ended = 0;
  int filed_killed = 0;
  int absent = 0;
  int faults = 0;
  for (int round = 1; round <= rounds; ++round) {
    fs::remove_all(out);
    const fs::path film = film_of(setting, round);
    const double moment_s =
        round % 2 == 0 ? uniform(engine) * length_s : uniform(engine) * 0.04;
    const pid_t child = start(setting, film, out);
    bool alive = true;
    auto mark = Clock::now();
    if (round % 2 == 1) {
      alive = wait_for(child, [&] { return fs::exists(out / "report.html"); });
      mark = Clock::now();
    }
    alive = alive &&
            wait_for(child, [&] { return seconds_since(mark) >= moment_s; });
    if (alive) {
      ::kill(child, SIGKILL);
      ::waitpid(child, &status, 0);
    } else {
      ++ended;
    }
    const auto store = open_store(setting.store(), StoreUse::kFile);
    const StoreCheck check = store->check();
    const auto there = store->find_film(sha256_of_file(film));
    faults += static_cast<int>(check.faults.size());
    if (there && there->feeds != feeds) ++faults;
    if (check.feeds != check.sessions * feeds) ++faults;
    if (!alive && !there) ++faults;
    if (!there) ++absent;
    if (alive && there) ++filed_killed;
  }
  fmt::print(
      "{} rounds, {:.1f} s a run, {} feeds a session, seed {}: {} killed with "
      "the session absent, {} killed with it wholly there, {} ended before "
      "they were killed; {} faults\n",
      rounds,
      length_s,
      feeds,
      seed,
      absent,
      filed_killed,
      ended,
      faults);
  return faults == 0 ? 0 : 1;
}
