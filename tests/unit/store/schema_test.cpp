// SPDX-License-Identifier: MIT
#include "store/schema.h"

#include "base/atomic_file.h"
#include "base/error.h"
#include "session/store.h"
#include "store/sqlite_store.h"
#include "support/temp_dir.h"

#include "store_sample.h"
#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace evenfeed;

namespace {

// A store as the program of that version left it, with one launcher.
void make_old(const std::filesystem::path& path, int version) {
  Database old(path, OpenMode::kCreate, 0);
  old.text("PRAGMA journal_mode = WAL");
  for (int i = 0; i < version; ++i) old.execute(schema_steps()[i]);
  old.execute(fmt::format("PRAGMA user_version = {}", version));
  old.execute(fmt::format("PRAGMA application_id = {}", kStoreApplicationId));
  old.execute(
      "INSERT INTO launcher VALUES(1, 'bench A');"
      "INSERT INTO service(launcher_id, at, kind) "
      "VALUES(1, 1000, 'wheel-cleaned')");
}

}  // namespace

TEST_CASE("an old store is copied, brought forward, and works") {
  int tried = 0;
  for (int version = 1; version < schema_version(); ++version) {
    for (const StoreUse use : {StoreUse::kFile, StoreUse::kRead}) {
      const TempDir dir("store-old");
      make_old(dir / "a.db", version);
      {
        const auto store = open_store(dir / "a.db", use);
        const auto events = store->services("bench A");
        REQUIRE(events.size() == 1);
        CHECK(events[0].at == 1000);
        CHECK(events[0].unfilmed_feeds == 0);
      }
      {
        Database now(dir / "a.db", OpenMode::kRead, 0);
        CHECK(now.integer("PRAGMA user_version") == schema_version());
      }
      const std::string name = fmt::format("a.db.version-{}", version);
      Database copy(dir / name, OpenMode::kRead, 0);
      CHECK(copy.integer("PRAGMA user_version") == version);
      CHECK(copy.integer("SELECT count(*) FROM service") == 1);
      const auto store = open_store(dir / "a.db", StoreUse::kFile);
      store->file_session(sample_session("monday"), false);
      CHECK(store->check().faults.empty());
      ++tried;
    }
  }
  CHECK(tried >= 2);
}

TEST_CASE("a new store is not copied, and nothing is left beside it") {
  const TempDir dir("store-new");
  open_store(dir / "a.db", StoreUse::kFile);
  open_store(dir / "a.db", StoreUse::kFile)
      ->file_session(sample_session("monday"), false);
  CHECK(open_store(dir / "a.db", StoreUse::kRead)->sessions("").size() == 1);
  int files = 0;
  for (const auto& one : std::filesystem::directory_iterator(dir.path())) {
    CHECK(one.path().filename() == "a.db");
    ++files;
  }
  CHECK(files == 1);
}

TEST_CASE("a newer store is refused by name and left as it is") {
  const TempDir dir("store-newer");
  open_store(dir / "a.db", StoreUse::kFile);
  {
    Database newer(dir / "a.db", OpenMode::kWrite, 0);
    newer.execute(
        fmt::format("PRAGMA user_version = {}", schema_version() + 7));
  }
  const std::string before = read_file(dir / "a.db");
  for (const StoreUse use :
       {StoreUse::kRead, StoreUse::kWrite, StoreUse::kFile}) {
    CHECK_THROWS_WITH_AS(
        open_store(dir / "a.db", use),
        doctest::Contains(
            fmt::format("a.db: this store has version {}", schema_version() + 7)
                .c_str()),
        InputError);
  }
  CHECK(read_file(dir / "a.db") == before);
}

TEST_CASE("the table of feeds has every value of a feed and its return") {
  const TempDir dir("store-columns");
  open_store(dir / "a.db", StoreUse::kFile);
  Database database(dir / "a.db", OpenMode::kRead, 0);
  std::vector<std::string_view> columns;
  for (const CharacteristicInfo& one : characteristics()) {
    columns.insert(columns.end(), {one.column, one.sigma_column});
  }
  for (const ReturnValueInfo& one : return_values()) {
    columns.insert(columns.end(), {one.column, one.sigma_column});
  }
  std::size_t found = 0;
  for (const std::string_view name : columns) {
    Statement row(database,
                  "SELECT 1 FROM pragma_table_info('feed') WHERE name = ?1");
    CAPTURE(name);
    CHECK(row.bind(1, name).step());
    ++found;
  }
  CHECK(found == 2 * (kCharacteristicCount + kReturnValueCount));
}
