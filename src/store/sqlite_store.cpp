// SPDX-License-Identifier: MIT
#include "store/sqlite_store.h"

#include "base/atomic_file.h"
#include "base/check.h"
#include "base/error.h"
#include "store/schema.h"
#include "store/session_rows.h"
#include "store/sqlite_database.h"
#include "store/store_check.h"

#include <limits>

#include <fmt/format.h>

namespace evenfeed {
namespace fs = std::filesystem;
namespace {

constexpr std::string_view kServiceQuery =
    "SELECT service.id, at, kind, coalesce(wheel.name, ball_set.name), note, "
    "unfilmed_feeds FROM service LEFT JOIN wheel ON wheel.id = wheel_id "
    "LEFT JOIN ball_set ON ball_set.id = ball_set_id "
    "WHERE service.launcher_id = ?1 ORDER BY at, service.id";

class SqliteStore : public Store {
 public:
  SqliteStore(const fs::path& path, StoreUse use, const StoreOptions& options)
      : database_(path, mode_of(use), options.wait_ms) {
    if (use == StoreUse::kRead) {
      open_to_read(path, options);
    } else {
      database_.execute("PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON");
      if (options.max_pages > 0) {
        database_.integer(
            fmt::format("PRAGMA max_page_count = {}", options.max_pages));
      }
      bring_forward(database_);
      const Transaction proof(database_);  // that it can be written to
    }
  }

  int file_session(const SessionRecord& record, bool replace) override {
    Transaction transaction(database_);
    const auto there = find_film(record.head.source.sha256);
    if (there && !replace) {
      throw InputError(
          record.head.source.path,
          fmt::format("this film is already session {} in {} ({}, filed {})",
                      there->id,
                      database_.path().string(),
                      there->source.path,
                      date_time_text(there->filed_at)),
          "Nothing to do; --replace files it anew in its place");
    }
    const int id = insert_session(
        database_, record, there ? std::optional(there->id) : std::nullopt);
    transaction.commit();
    return id;
  }

  std::optional<SessionHead> find_film(const std::string& sha256) override {
    return find_session_head(database_, sha256);
  }

  std::vector<SessionHead> sessions(const std::string& launcher) override {
    if (!launcher.empty()) require_launcher(launcher);
    return session_heads(database_, launcher);
  }

  SessionRecord session(int id) override { return read_session(database_, id); }

  std::vector<std::string> launchers() override {
    Statement rows(database_, "SELECT name FROM launcher ORDER BY name");
    std::vector<std::string> names;
    while (rows.step()) names.push_back(rows.text(0));
    return names;
  }

  int rename_launcher(const std::string& launcher,
                      const std::string& name) override {
    Transaction transaction(database_);
    const std::int64_t id = require_launcher(launcher);
    Statement other(database_, "SELECT id FROM launcher WHERE name = ?1");
    if (other.bind(1, name).step() && other.integer(0) != id) {
      for (const char* table : {"session", "wheel", "service"}) {
        Statement(database_,
                  fmt::format("UPDATE {} SET launcher_id = ?1 "
                              "WHERE launcher_id = ?2",
                              table))
            .bind(1, other.integer(0))
            .bind(2, id)
            .run();
      }
      Statement(database_, "DELETE FROM launcher WHERE id = ?1")
          .bind(1, id)
          .run();
    } else {
      Statement(database_, "UPDATE launcher SET name = ?1 WHERE id = ?2")
          .bind(1, name)
          .bind(2, id)
          .run();
    }
    transaction.commit();
    return static_cast<int>(sessions(name).size());
  }

  std::vector<ServiceEvent> services(const std::string& launcher) override {
    Statement rows(database_, kServiceQuery);
    rows.bind(1, require_launcher(launcher));
    std::vector<ServiceEvent> events;
    while (rows.step()) {
      const auto kind = find_service_kind(rows.text(2));
      if (!kind) continue;  // of a kind that store check names
      events.push_back({static_cast<int>(rows.integer(0)),
                        launcher,
                        rows.integer(1),
                        *kind,
                        rows.text(3),
                        rows.text(4),
                        static_cast<int>(rows.integer(5))});
    }
    return events;
  }

  int add_service(const ServiceEvent& event) override {
    Transaction transaction(database_);
    const int id = insert_service(database_, event);
    transaction.commit();
    return id;
  }

  void visit_series(
      const std::string& launcher,
      const std::vector<Characteristic>& characteristics,
      const std::function<void(const SessionSeries&)>& visit) override {
    require_launcher(launcher);
    read_series(
        database_, session_heads(database_, launcher), characteristics, visit);
  }

  StoreCheck check() override { return check_store(database_); }

  void back_up(const fs::path& path) override {
    std::error_code none;
    if (fs::exists(path, none)) {
      throw InputError(
          path.string(), "there is a file of that name", "Name a new file");
    }
    PendingFile pending(path);
    pending.write("");  // refused here, a folder that is none has its own name
    database_.copy_to(pending.temporary());
    pending.commit();
  }

 private:
  static OpenMode mode_of(StoreUse use) {
    return use == StoreUse::kFile    ? OpenMode::kCreate
           : use == StoreUse::kWrite ? OpenMode::kWrite
                                     : OpenMode::kRead;
  }

  // An old store is brought forward for a reader too, if that can be done.
  void open_to_read(const fs::path& path, const StoreOptions& options) {
    if (database_.integer("PRAGMA user_version") > 0 &&
        database_.integer("PRAGMA user_version") < schema_version()) {
      try {
        Database writer(path, OpenMode::kWrite, options.wait_ms);
        bring_forward(writer);
      } catch (const InputError&) {
        require_current(database_);  // says what to do
      }
    }
    require_current(database_);
  }

  std::int64_t require_launcher(const std::string& name) {
    Statement row(database_, "SELECT id FROM launcher WHERE name = ?1");
    if (row.bind(1, name).step()) return row.integer(0);
    std::string known;
    for (const std::string& one : launchers()) {
      known += (known.empty() ? "" : ", ") + one;
    }
    throw InputError(database_.path().string(),
                     fmt::format("there is no launcher '{}'", name),
                     known.empty() ? std::string("No launcher is in it yet")
                                   : "Known: " + known);
  }

  Database database_;
};

}  // namespace

void StoreOptions::check() const {
  require_in_range(wait_ms, 0, 3600000, "store.wait_ms");
  require_not_negative(max_pages, "store.max_pages");
}

std::unique_ptr<Store> open_store(const fs::path& path,
                                  StoreUse use,
                                  const StoreOptions& options) {
  options.check();
  return std::make_unique<SqliteStore>(path, use, options);
}

}  // namespace evenfeed
