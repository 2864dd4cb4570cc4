// SPDX-License-Identifier: MIT
// What can go wrong under a store: a full disk, a folder that cannot be
// written to, two writers, damage.
#include "base/atomic_file.h"
#include "base/error.h"
#include "store/fill_store.h"
#include "store/sqlite_database.h"
#include "store/sqlite_store.h"
#include "support/temp_dir.h"

#include "store_sample.h"
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <sys/wait.h>
#include <unistd.h>

using namespace evenfeed;
namespace fs = std::filesystem;

namespace {

// Permissions do not hold for root: such a test goes on as nobody.
class AsNobody {
 public:
  AsNobody() : was_(::geteuid()) {
    if (was_ == 0) REQUIRE(::seteuid(65534) == 0);
  }
  ~AsNobody() {
    if (was_ == 0) (void)!::seteuid(0);
  }

 private:
  uid_t was_;
};

}  // namespace

TEST_CASE("disk full: one message, and nothing is lost or half there") {
  const TempDir dir("store-full");
  const auto first = open_store(dir / "a.db", StoreUse::kFile);
  first->file_session(sample_session("small"), false);
  const auto store =
      open_store(dir / "a.db", StoreUse::kFile, {.max_pages = 40});
  CHECK_THROWS_WITH_AS(
      store->file_session(sample_session("large", 2000), false),
      doctest::Contains("the disk is full"),
      InputError);
  CHECK(store->check().faults.empty());
  CHECK(store->sessions("").size() == 1);
  CHECK_FALSE(store->find_film(sha256_of("large")).has_value());
  // With room it works, on the same connection and on another.
  CHECK(store->file_session(sample_session("little", 3), false) == 2);
  CHECK(first->file_session(sample_session("large", 2000), false) == 3);
  CHECK(first->check().feeds == 12 + 3 + 2000);
}

TEST_CASE("disk full in a store that is new: no empty store is left") {
  const TempDir dir("store-full-new");
  const auto names_in = [&] {
    std::vector<std::string> names;
    for (const auto& one : fs::directory_iterator(dir.path())) {
      names.push_back(one.path().filename().string());
    }
    return names;
  };
  const auto file = [](const char* name, int feeds) {
    return [=](Store& store) {
      store.file_session(sample_session(name, feeds), false);
    };
  };
  const fs::path path = dir / "a.db";
  int tried = 0;
  // So little room that even the tables do not fit; that a session does not.
  for (const int pages : {2, 40}) {
    CAPTURE(pages);
    std::string message;
    try {
      fill_store(path, file("large", 2000), {.max_pages = pages});
    } catch (const InputError& error) {
      message = error.what();
    }
    CHECK(message.find("the disk is full") != std::string::npos);
    CHECK(message.find(path.string() + ":") == 0);
    CHECK(names_in().empty());
    ++tried;
  }
  CHECK(tried == 2);
  fill_store(path, file("large", 2000));
  CHECK(names_in() == std::vector<std::string>{"a.db"});
  // In one that is there, failing leaves it as it was.
  CHECK_THROWS_AS(fill_store(path, file("huge", 20000), {.max_pages = 400}),
                  InputError);
  fill_store(path, file("small", 12));
  const StoreCheck check = open_store(path, StoreUse::kRead)->check();
  CHECK(check.faults.empty());
  CHECK(check.sessions == 2);
  CHECK(check.feeds == 2012);
}

TEST_CASE("a store that another makes meanwhile: what both filed is there") {
  const TempDir dir("store-made-twice");
  const fs::path path = dir / "a.db";
  int times = 0;
  fill_store(path, [&](Store& store) {
    ++times;
    store.file_session(sample_session("slow"), false);
    if (times > 1) return;
    open_store(path, StoreUse::kFile)
        ->file_session(sample_session("quick"), false);
  });
  CHECK(times == 2);
  const auto store = open_store(path, StoreUse::kRead);
  CHECK(store->check().sessions == 2);
  CHECK(store->find_film(sha256_of("slow")));
  CHECK(store->find_film(sha256_of("quick")));
}

TEST_CASE("a folder that cannot be written to: reading works, filing says so") {
  const TempDir dir("store-read-only");
  open_store(dir / "a.db", StoreUse::kFile)
      ->file_session(sample_session("monday"), false);
  const std::string before = read_file(dir / "a.db");
  fs::permissions(dir / "a.db", fs::perms(0444));
  fs::permissions(dir.path(), fs::perms(0555));
  {
    const AsNobody nobody;
    CHECK_THROWS_WITH_AS(open_store(dir / "a.db", StoreUse::kFile),
                         doctest::Contains("cannot be written to"),
                         InputError);
    CHECK_THROWS_WITH_AS(open_store(dir / "new.db", StoreUse::kFile),
                         doctest::Contains("cannot be opened"),
                         InputError);
    const auto store = open_store(dir / "a.db", StoreUse::kRead);
    CHECK(store->session(1).feeds.size() == 12);
    CHECK(store->check().faults.empty());
  }
  fs::permissions(dir.path(), fs::perms(0755));
  CHECK(read_file(dir / "a.db") == before);
}

TEST_CASE("two writers at once: one waits, both succeed") {
  const TempDir dir("store-two");
  open_store(dir / "a.db", StoreUse::kFile);
  constexpr int kEach = 8;
  // Two processes, as two programs are.
  const auto write = [&](const std::string& who) {
    for (int i = 0; i < kEach; ++i) {
      open_store(dir / "a.db", StoreUse::kFile)
          ->file_session(sample_session(fmt::format("{}{}", who, i), 50),
                         false);
    }
  };
  const pid_t other = ::fork();
  REQUIRE(other >= 0);
  if (other == 0) {
    try {
      write("other");
      ::_exit(0);
    } catch (const std::exception&) {
      ::_exit(1);
    }
  }
  write("one");
  int status = 0;
  REQUIRE(::waitpid(other, &status, 0) == other);
  CHECK(WIFEXITED(status));
  CHECK(WEXITSTATUS(status) == 0);
  const auto store = open_store(dir / "a.db", StoreUse::kRead);
  const StoreCheck check = store->check();
  CHECK(check.faults.empty());
  CHECK(check.sessions == 2 * kEach);
  CHECK(check.feeds == 2 * kEach * 50);
}

TEST_CASE("a writer that never ends: the other gives up with a reason") {
  const TempDir dir("store-busy");
  open_store(dir / "a.db", StoreUse::kFile);
  Database holder(dir / "a.db", OpenMode::kWrite, 0);
  const Transaction held(holder);
  CHECK_THROWS_WITH_AS(
      open_store(dir / "a.db", StoreUse::kFile, {.wait_ms = 20}),
      doctest::Contains("another program has been writing"),
      InputError);
  // Reading goes on meanwhile.
  CHECK(open_store(dir / "a.db", StoreUse::kRead)->sessions("").empty());
}

TEST_CASE("check finds what is not whole") {
  const TempDir dir("store-check");
  const std::pair<const char*, const char*> damages[] = {
      {"DELETE FROM feed WHERE feed = 5", "12 feeds are written down, 11"},
      {"UPDATE feed SET verdict = 'keep' WHERE feed = 1", "9 keep"},
      {"UPDATE session SET summary = 'text'", "summary is not JSON"},
      {"UPDATE session SET source_sha256 = 'short'", "fingerprint"},
      {"PRAGMA foreign_keys = OFF; DELETE FROM launcher", "refers to a row"},
      {"INSERT INTO service(launcher_id, at, kind) VALUES(1, 0, 'polished')",
       "'polished'"},
  };
  int tried = 0;
  for (const auto& [damage, words] : damages) {
    CAPTURE(damage);
    const fs::path path = dir / fmt::format("{}.db", tried);
    const auto store = open_store(path, StoreUse::kFile);
    store->file_session(sample_session("monday"), false);
    CHECK(store->check().faults.empty());
    Database(path, OpenMode::kWrite, 0).execute(damage);
    const StoreCheck check = store->check();
    REQUIRE_FALSE(check.faults.empty());
    CHECK_MESSAGE(check.faults[0].find(words) != std::string::npos,
                  check.faults[0]);
    ++tried;
  }
  CHECK(tried == 6);
}

TEST_CASE("a page of nonsense in the store is found") {
  const TempDir dir("store-damage");
  {
    const auto store = open_store(dir / "a.db", StoreUse::kFile);
    store->file_session(sample_session("monday", 500), false);
  }
  std::string bytes = read_file(dir / "a.db");
  for (std::size_t at = bytes.size() / 2; at < bytes.size() / 2 + 8192; ++at) {
    bytes[at] = static_cast<char>(at * 31);
  }
  write_file_whole(dir / "a.db", bytes);
  bool found = false;
  try {
    const auto store = open_store(dir / "a.db", StoreUse::kRead);
    found = !store->check().faults.empty();
  } catch (const InputError&) {
    found = true;
  }
  CHECK(found);
}
