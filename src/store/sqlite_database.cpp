// SPDX-License-Identifier: MIT
#include "store/sqlite_database.h"

#include "base/check.h"
#include "base/error.h"

#include <cmath>
#include <limits>

#include <fmt/format.h>
#include <sqlite3.h>

namespace evenfeed {
namespace fs = std::filesystem;
namespace {

// What a failed SQLite call means, and what to do about it.
struct Fault {
  std::string problem;
  std::string mend;
};

Fault fault_of(int code, const std::string& detail) {
  switch (code & 0xff) {
    case SQLITE_FULL:
      return {"the disk is full; nothing was changed in the store",
              "Make room and do it again"};
    case SQLITE_READONLY:
    case SQLITE_PERM:
    case SQLITE_AUTH:
      return {
          "the store or its folder cannot be written to; nothing was "
          "changed",
          "Check the permissions, or name a store elsewhere"};
    case SQLITE_CANTOPEN:
      return {"cannot be opened",
              "Check that its folder exists and may be read and written"};
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return {
          "another program has been writing to it all the while; nothing "
          "was changed",
          "Wait for it to end and do it again"};
    case SQLITE_NOTADB:
      return {"this file is not a store of sessions",
              "Name the file that 'evenfeed session --db' made"};
    case SQLITE_CORRUPT:
      return {"the store is damaged (" + detail + ")",
              "Put the last copy that 'evenfeed store backup' made in its "
              "place"};
    case SQLITE_IOERR:
      return {"the disk gave an error (" + detail +
                  "); nothing was changed in the store",
              "Check the disk, then do it again"};
    default:
      return {"the store gave an error (" + detail + ")",
              "Run 'evenfeed store check'"};
  }
}

std::string uri_of(const fs::path& path, std::string_view query) {
  std::string uri = "file:";
  for (const char c : fs::absolute(path).string()) {
    if (c == '%' || c == '?' || c == '#') {
      uri += fmt::format("%{:02x}", static_cast<unsigned char>(c));
    } else {
      uri += c;
    }
  }
  return uri + std::string(query);
}

}  // namespace

void Statement::Finalize::operator()(sqlite3_stmt* statement) const {
  sqlite3_finalize(statement);
}

void Database::Close::operator()(sqlite3* handle) const {
  sqlite3_close_v2(handle);
}

Statement::Statement(Database& database, std::string_view sql)
    : database_(database) {
  sqlite3_stmt* raw = nullptr;
  const int code = sqlite3_prepare_v2(database.handle_.get(),
                                      sql.data(),
                                      static_cast<int>(sql.size()),
                                      &raw,
                                      nullptr);
  statement_.reset(raw);
  if (code != SQLITE_OK) database.refuse(code);
}

Statement& Statement::bind(int parameter, std::int64_t value) {
  const int code = sqlite3_bind_int64(statement_.get(), parameter, value);
  if (code != SQLITE_OK) database_.refuse(code);
  return *this;
}

Statement& Statement::bind(int parameter, double value) {
  if (!std::isfinite(value)) return bind_null(parameter);
  const int code = sqlite3_bind_double(statement_.get(), parameter, value);
  if (code != SQLITE_OK) database_.refuse(code);
  return *this;
}

Statement& Statement::bind(int parameter, std::string_view text) {
  const int code = sqlite3_bind_text(statement_.get(),
                                     parameter,
                                     text.data() ? text.data() : "",
                                     static_cast<int>(text.size()),
                                     SQLITE_TRANSIENT);
  if (code != SQLITE_OK) database_.refuse(code);
  return *this;
}

Statement& Statement::bind_null(int parameter) {
  const int code = sqlite3_bind_null(statement_.get(), parameter);
  if (code != SQLITE_OK) database_.refuse(code);
  return *this;
}

Statement& Statement::bind(int parameter, const std::optional<int>& value) {
  return value ? bind(parameter, std::int64_t{*value}) : bind_null(parameter);
}

Statement& Statement::bind_or_null(int parameter, std::string_view text) {
  return text.empty() ? bind_null(parameter) : bind(parameter, text);
}

bool Statement::step() {
  const int code = sqlite3_step(statement_.get());
  if (code == SQLITE_ROW) return true;
  if (code != SQLITE_DONE) database_.refuse(code);
  return false;
}

void Statement::run() {
  require(!step(), "a statement that gives rows was run for none");
  reset();
}

void Statement::reset() {
  sqlite3_reset(statement_.get());
  bound_ = 0;
}

bool Statement::is_null(int column) const {
  return sqlite3_column_type(statement_.get(), column) == SQLITE_NULL;
}

std::int64_t Statement::integer(int column) const {
  return sqlite3_column_int64(statement_.get(), column);
}

double Statement::number(int column) const {
  return is_null(column) ? std::numeric_limits<double>::quiet_NaN()
                         : sqlite3_column_double(statement_.get(), column);
}

std::string Statement::text(int column) const {
  const auto* bytes = reinterpret_cast<const char*>(
      sqlite3_column_text(statement_.get(), column));
  if (!bytes) return {};
  return {
      bytes,
      static_cast<std::size_t>(sqlite3_column_bytes(statement_.get(), column))};
}

std::optional<int> Statement::optional_integer(int column) const {
  if (is_null(column)) return std::nullopt;
  return static_cast<int>(integer(column));
}

bool Statement::equals(int column, std::string_view text) const {
  const auto* bytes = reinterpret_cast<const char*>(
      sqlite3_column_text(statement_.get(), column));
  return bytes && text == bytes;
}

Database::Database(const fs::path& path, OpenMode mode, int wait_ms)
    : path_(path) {
  std::error_code none;
  if (mode != OpenMode::kCreate && !fs::exists(path, none)) {
    throw InputError(path.string(),
                     "there is no such store",
                     "Check the name; 'evenfeed session --db' makes one");
  }
  if (fs::is_directory(path, none)) {
    throw InputError(path.string(), "this is a folder", "Name a file in it");
  }
  const auto open = [&](std::string_view query, int flags) {
    sqlite3* raw = nullptr;
    const int code = sqlite3_open_v2(
        uri_of(path, query).c_str(), &raw, flags | SQLITE_OPEN_URI, nullptr);
    handle_.reset(raw);
    if (code != SQLITE_OK) refuse(code);
    sqlite3_busy_timeout(handle_.get(), wait_ms);
  };
  switch (mode) {
    case OpenMode::kCreate:
      open("", SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE);
      break;
    case OpenMode::kWrite:
      open("", SQLITE_OPEN_READWRITE);
      break;
    case OpenMode::kRead:
      // With a connection that could write, SQLite tidies up after itself.
      // A store on a medium that cannot be written to has no place for the
      // files a reader shares with writers; with no log there is no writer.
      open("", SQLITE_OPEN_READWRITE);
      if (!readable() && !has_log()) {
        open("?immutable=1", SQLITE_OPEN_READONLY);
      }
      execute("PRAGMA query_only = ON");
      break;
  }
}

bool Database::has_log() const {
  std::error_code none;
  const fs::path log = path_.string() + "-wal";
  return fs::exists(log, none) && fs::file_size(log, none) > 0;
}

bool Database::readable() const {
  const int code = sqlite3_exec(handle_.get(),
                                "SELECT 1 FROM sqlite_master",
                                nullptr,
                                nullptr,
                                nullptr) &
                   0xff;
  return code != SQLITE_CANTOPEN && code != SQLITE_READONLY;
}

void Database::refuse(int code) const {
  const Fault fault = fault_of(
      code, handle_ ? sqlite3_errmsg(handle_.get()) : sqlite3_errstr(code));
  throw InputError(path_.string(), fault.problem, fault.mend);
}

void Database::execute(std::string_view sql) {
  const int code = sqlite3_exec(
      handle_.get(), std::string(sql).c_str(), nullptr, nullptr, nullptr);
  if (code != SQLITE_OK) refuse(code);
}

std::int64_t Database::integer(std::string_view sql) {
  Statement statement(*this, sql);
  return statement.step() ? statement.integer(0) : 0;
}

std::string Database::text(std::string_view sql) {
  Statement statement(*this, sql);
  return statement.step() ? statement.text(0) : std::string();
}

std::int64_t Database::last_id() const {
  return sqlite3_last_insert_rowid(handle_.get());
}

bool Database::in_transaction() const {
  return sqlite3_get_autocommit(handle_.get()) == 0;
}

void Database::copy_to(const fs::path& path) {
  const Database target(path, OpenMode::kCreate, 0);
  sqlite3_backup* backup =
      sqlite3_backup_init(target.handle_.get(), "main", handle_.get(), "main");
  if (!backup) target.refuse(sqlite3_errcode(target.handle_.get()));
  // All pages in one step: one moment of the store.
  const int step = sqlite3_backup_step(backup, -1);
  const int end = sqlite3_backup_finish(backup);
  if (step != SQLITE_DONE) target.refuse(step);
  if (end != SQLITE_OK) target.refuse(end);
}

Transaction::Transaction(Database& database) : database_(database) {
  database_.execute("BEGIN IMMEDIATE");
}

Transaction::~Transaction() {
  // SQLite has itself rolled back after some errors.
  if (!open_ || !database_.in_transaction()) return;
  try {
    database_.execute("ROLLBACK");
  } catch (const InputError&) {
    // Closing the store rolls back.
  }
}

void Transaction::commit() {
  database_.execute("COMMIT");
  open_ = false;
}

}  // namespace evenfeed
