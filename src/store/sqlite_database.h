// SPDX-License-Identifier: MIT
// SQLite with its resources held by objects and its errors as InputErrors.
// Only the .cpp of this file sees SQLite's own header.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

struct sqlite3;
struct sqlite3_stmt;

namespace evenfeed {

enum class OpenMode {
  kRead,    ///< must exist; works in a folder that cannot be written to
  kWrite,   ///< must exist
  kCreate,  ///< made when it does not exist
};

class Database;

/// A prepared statement. Parameters count from 1, columns from 0.
class Statement {
 public:
  Statement(Database& database, std::string_view sql);

  Statement& bind(int parameter, std::int64_t value);
  /// NaN and infinities become NULL: not known.
  Statement& bind(int parameter, double value);
  Statement& bind(int parameter, std::string_view text);
  Statement& bind_null(int parameter);
  Statement& bind(int parameter, const std::optional<int>& value);
  /// Empty text becomes NULL.
  Statement& bind_or_null(int parameter, std::string_view text);

  /// Binds the next parameter, the first after construction or run().
  template <typename Value>
  Statement& add(const Value& value) {
    return bind(++bound_, value);
  }
  Statement& add_or_null(std::string_view text) {
    return bind_or_null(++bound_, text);
  }

  /// True: a row is there. False: done.
  bool step();
  /// For statements that give no row: runs and makes ready for the next.
  void run();
  void reset();

  bool is_null(int column) const;
  std::int64_t integer(int column) const;
  double number(int column) const;     ///< NaN for NULL
  std::string text(int column) const;  ///< empty for NULL
  std::optional<int> optional_integer(int column) const;
  /// Whether a text column equals `text`, without a copy.
  bool equals(int column, std::string_view text) const;

 private:
  struct Finalize {
    void operator()(sqlite3_stmt* statement) const;
  };
  Database& database_;
  std::unique_ptr<sqlite3_stmt, Finalize> statement_;
  int bound_ = 0;
};

class Database {
 public:
  Database(const std::filesystem::path& path, OpenMode mode, int wait_ms);

  void execute(std::string_view sql);
  std::int64_t integer(std::string_view sql);
  std::string text(std::string_view sql);
  std::int64_t last_id() const;
  void copy_to(const std::filesystem::path& path);
  const std::filesystem::path& path() const { return path_; }
  bool in_transaction() const;
  /// Throws what `code`, a result of SQLite, means for people.
  [[noreturn]] void refuse(int code) const;

 private:
  friend class Statement;
  struct Close {
    void operator()(sqlite3* handle) const;
  };
  bool readable() const;
  bool has_log() const;
  std::filesystem::path path_;
  std::unique_ptr<sqlite3, Close> handle_;
};

/// BEGIN IMMEDIATE now; rolled back at the end of its life unless committed.
class Transaction {
 public:
  explicit Transaction(Database& database);
  ~Transaction();
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;
  void commit();

 private:
  Database& database_;
  bool open_ = true;
};

}  // namespace evenfeed
