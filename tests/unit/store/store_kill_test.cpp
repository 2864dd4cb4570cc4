// SPDX-License-Identifier: MIT
// A program that is killed while it files: every session is wholly there or
// wholly absent, and what was reported as filed is there.
#include "base/random.h"
#include "store/sqlite_store.h"
#include "support/temp_dir.h"

#include <csignal>
#include <random>

#include "store_sample.h"
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <sys/wait.h>
#include <unistd.h>

using namespace evenfeed;

namespace {

constexpr int kFeeds = 300;

// Files session after session and reports each by a byte, until it is killed.
[[noreturn]] void file_for_ever(const std::filesystem::path& path,
                                int round,
                                int report) {
  const auto store = open_store(path, StoreUse::kFile);
  for (int i = 0;; ++i) {
    store->file_session(sample_session(fmt::format("{}-{}", round, i), kFeeds),
                        false);
    const char done = 1;
    if (::write(report, &done, 1) != 1) ::_exit(1);
  }
}

// Bytes until the end of the pipe.
int count_reports(int from) {
  char bytes[256];
  int count = 0;
  for (;;) {
    const auto got = ::read(from, bytes, sizeof bytes);
    if (got <= 0) return count;
    count += static_cast<int>(got);
  }
}

}  // namespace

TEST_CASE("killed at a random moment, 25 times") {
  const TempDir dir("store-kill");
  const auto path = dir / "a.db";
  auto engine = derived_engine(1, "store kill");
  std::uniform_int_distribution<int> wait_us(0, 60000);
  int filed_in_all = 0;
  int cut_off = 0;
  constexpr int kRounds = 25;
  for (int round = 0; round < kRounds; ++round) {
    int ends[2];
    REQUIRE(::pipe(ends) == 0);
    const pid_t child = ::fork();
    REQUIRE(child >= 0);
    if (child == 0) file_for_ever(path, round, ends[1]);
    ::close(ends[1]);
    // Every other time only after a first session, however slow the machine.
    char first = 0;
    const bool waited = round % 2 == 1 && ::read(ends[0], &first, 1) == 1;
    ::usleep(static_cast<useconds_t>(wait_us(engine)));
    ::kill(child, SIGKILL);
    int status = 0;
    REQUIRE(::waitpid(child, &status, 0) == child);
    CHECK(WIFSIGNALED(status));
    const int reported = count_reports(ends[0]) + (waited ? 1 : 0);
    ::close(ends[0]);
    if (!std::filesystem::exists(path)) continue;

    const auto store = open_store(path, StoreUse::kFile);
    const StoreCheck check = store->check();
    CHECK(check.faults.empty());
    CHECK(check.feeds == check.sessions * kFeeds);
    for (int i = 0; i < reported; ++i) {
      CHECK(store->find_film(sha256_of(fmt::format("{}-{}", round, i))));
    }
    // At most the one that was being filed may be there beyond.
    CHECK(check.sessions - filed_in_all >= reported);
    CHECK(check.sessions - filed_in_all <= reported + 1);
    if (check.sessions - filed_in_all == reported) ++cut_off;
    filed_in_all = check.sessions;
  }
  CHECK(filed_in_all >= kRounds / 2);
  // Some moments did fall into a filing.
  CHECK(cut_off > 0);
}
