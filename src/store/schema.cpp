// SPDX-License-Identifier: MIT
#include "store/schema.h"

#include "base/atomic_file.h"
#include "base/error.h"

#include <filesystem>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// Times are seconds since 1970 (UTC), numbers have their unit in the name,
// NULL is "not known".
constexpr std::string_view kStep1 = R"sql(
CREATE TABLE launcher(
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE);
CREATE TABLE wheel(
  id INTEGER PRIMARY KEY,
  launcher_id INTEGER NOT NULL REFERENCES launcher,
  name TEXT NOT NULL,
  fitted_at INTEGER NOT NULL);
CREATE TABLE ball_set(
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE);
CREATE TABLE sample(
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE);
CREATE TABLE sample_property(
  sample_id INTEGER NOT NULL REFERENCES sample,
  key TEXT NOT NULL,
  value TEXT NOT NULL,
  PRIMARY KEY(sample_id, key)) WITHOUT ROWID;
CREATE TABLE profile(
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL,
  content TEXT NOT NULL,
  UNIQUE(name, content));
CREATE TABLE session(
  id INTEGER PRIMARY KEY,
  launcher_id INTEGER NOT NULL REFERENCES launcher,
  sample_id INTEGER NOT NULL REFERENCES sample,
  ball_set_id INTEGER REFERENCES ball_set,
  profile_id INTEGER NOT NULL REFERENCES profile,
  started_at INTEGER NOT NULL,
  filed_at INTEGER NOT NULL,
  source_path TEXT NOT NULL,
  source_bytes INTEGER NOT NULL,
  source_sha256 TEXT NOT NULL UNIQUE,
  ready INTEGER NOT NULL CHECK(ready IN (0, 1)),
  ready_at_feed INTEGER,
  stable_from_feed INTEGER,
  feeds INTEGER NOT NULL,
  keep INTEGER NOT NULL,
  review INTEGER NOT NULL,
  discard INTEGER NOT NULL,
  note TEXT,
  bench TEXT,
  baseline TEXT,
  summary TEXT);
CREATE INDEX session_by_launcher ON session(launcher_id, started_at);
CREATE TABLE setting(
  session_id INTEGER NOT NULL REFERENCES session ON DELETE CASCADE,
  key TEXT NOT NULL,
  value TEXT NOT NULL,
  PRIMARY KEY(session_id, key)) WITHOUT ROWID;
CREATE TABLE feed(
  session_id INTEGER NOT NULL REFERENCES session ON DELETE CASCADE,
  feed INTEGER NOT NULL,
  t_launch_s REAL, t_bounce_s REAL, st_bounce_s REAL,
  x_mm REAL, sx_mm REAL, y_mm REAL, sy_mm REAL, rho_xy REAL,
  vx_in_mps REAL, s_vx_in_mps REAL, vy_in_mps REAL, s_vy_in_mps REAL,
  vz_in_mps REAL, s_vz_in_mps REAL, vx_out_mps REAL, s_vx_out_mps REAL,
  vy_out_mps REAL, s_vy_out_mps REAL, vz_out_mps REAL, s_vz_out_mps REAL,
  speed_in_mps REAL, s_speed_in_mps REAL, heading_deg REAL, s_heading_deg REAL,
  descent_deg REAL, s_descent_deg REAL, kick REAL, s_kick REAL,
  turn_deg REAL, s_turn_deg REAL, flight_time_s REAL, s_flight_time_s REAL,
  t_contact_s REAL, s_t_contact_s REAL, contact_y_mm REAL, s_contact_y_mm REAL,
  contact_z_mm REAL, s_contact_z_mm REAL,
  path_length_mm REAL, s_path_length_mm REAL,
  sightings INTEGER, rms_px REAL, timing TEXT, status TEXT NOT NULL, note TEXT,
  phase TEXT, verdict TEXT, reasons TEXT,
  PRIMARY KEY(session_id, feed)) WITHOUT ROWID;
CREATE TABLE service(
  id INTEGER PRIMARY KEY,
  launcher_id INTEGER NOT NULL REFERENCES launcher,
  at INTEGER NOT NULL,
  kind TEXT NOT NULL,
  wheel_id INTEGER REFERENCES wheel,
  ball_set_id INTEGER REFERENCES ball_set,
  note TEXT);
)sql";

constexpr std::string_view kStep2 = R"sql(
ALTER TABLE service ADD COLUMN unfilmed_feeds INTEGER NOT NULL DEFAULT 0
  CHECK(unfilmed_feeds >= 0);
CREATE INDEX service_by_launcher ON service(launcher_id, at);
)sql";

// What came back from a sample.
constexpr std::string_view kStep3 = R"sql(
ALTER TABLE feed ADD COLUMN ret_speed_mps REAL;
ALTER TABLE feed ADD COLUMN s_ret_speed_mps REAL;
ALTER TABLE feed ADD COLUMN ret_angle_deg REAL;
ALTER TABLE feed ADD COLUMN s_ret_angle_deg REAL;
ALTER TABLE feed ADD COLUMN ret_apex_mm REAL;
ALTER TABLE feed ADD COLUMN s_ret_apex_mm REAL;
ALTER TABLE feed ADD COLUMN ret_apex_x_mm REAL;
ALTER TABLE feed ADD COLUMN s_ret_apex_x_mm REAL;
ALTER TABLE feed ADD COLUMN ret_net_height_mm REAL;
ALTER TABLE feed ADD COLUMN s_ret_net_height_mm REAL;
ALTER TABLE feed ADD COLUMN ret_t_net_s REAL;
ALTER TABLE feed ADD COLUMN s_ret_t_net_s REAL;
ALTER TABLE feed ADD COLUMN ret_x_mm REAL;
ALTER TABLE feed ADD COLUMN s_ret_x_mm REAL;
ALTER TABLE feed ADD COLUMN ret_y_mm REAL;
ALTER TABLE feed ADD COLUMN s_ret_y_mm REAL;
)sql";

// Which program measured a session, and how its date is known.
constexpr std::string_view kStep4 = R"sql(
ALTER TABLE session ADD COLUMN program_version TEXT;
ALTER TABLE session ADD COLUMN dated_by TEXT;
)sql";

void require_ours(Database& database) {
  const std::int64_t id = database.integer("PRAGMA application_id");
  const bool empty =
      database.integer("SELECT count(*) FROM sqlite_master") == 0;
  if (id == kStoreApplicationId || (id == 0 && empty)) return;
  throw InputError(database.path().string(),
                   "this SQLite file is not a store of sessions",
                   "Name the file that 'evenfeed session --db' made");
}

int version_of(Database& database) {
  const auto version =
      static_cast<int>(database.integer("PRAGMA user_version"));
  if (version > schema_version()) {
    throw InputError(
        database.path().string(),
        fmt::format("this store has version {}; this program knows versions "
                    "up to {}",
                    version,
                    schema_version()),
        "Use the newer evenfeed that made it");
  }
  return version;
}

void keep_copy(Database& database, int version) {
  const std::string copy =
      fmt::format("{}.version-{}", database.path().string(), version);
  PendingFile pending{std::filesystem::path(copy)};
  database.copy_to(pending.temporary());
  pending.commit();
}

}  // namespace

const std::vector<std::string_view>& schema_steps() {
  static const std::vector<std::string_view> kSteps{
      kStep1, kStep2, kStep3, kStep4};
  return kSteps;
}

int schema_version() { return static_cast<int>(schema_steps().size()); }

void bring_forward(Database& database) {
  require_ours(database);
  int version = version_of(database);
  if (version == schema_version()) return;
  if (version == 0) database.text("PRAGMA journal_mode = WAL");
  if (version > 0) keep_copy(database, version);
  Transaction transaction(database);
  // Another program may have done it while this one waited.
  for (version = version_of(database); version < schema_version(); ++version) {
    database.execute(schema_steps()[static_cast<std::size_t>(version)]);
    database.execute(fmt::format("PRAGMA user_version = {}", version + 1));
  }
  database.execute(
      fmt::format("PRAGMA application_id = {}", kStoreApplicationId));
  transaction.commit();
}

void require_current(Database& database) {
  require_ours(database);
  const int version = version_of(database);
  if (version == schema_version()) return;
  throw InputError(
      database.path().string(),
      fmt::format("this store has version {}, older than this program's {}",
                  version,
                  schema_version()),
      "Copy it to a folder that can be written to; it is brought forward "
      "there");
}

}  // namespace evenfeed
