// SPDX-License-Identifier: MIT
// Where sessions are kept, as whoever reads and writes them sees it. What is
// below (store/sqlite_store.h) is nobody else's business.
//
// Every call either does the whole of what it says or throws InputError and
// has changed nothing; the message names the store, what is wrong and how to
// mend it.
#pragma once

#include "session/service_event.h"
#include "session/session_record.h"

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

/// The feeds of one session, a column per characteristic that was asked for.
struct SessionSeries {
  SessionHead head;
  std::vector<Property> settings;  ///< of the launcher
  std::string bench;               ///< bench.toml; empty: none was kept
  std::vector<int> feeds;          ///< numbers
  std::vector<double> t_launch_s;  ///< NaN: not known
  std::vector<char> discard;       ///< 1: judged a mis-feed
  /// values[c][i]: characteristic c of feed i; NaN: not known.
  std::vector<std::vector<double>> values;
};

/// What store check found.
struct StoreCheck {
  int sessions = 0;
  int feeds = 0;
  std::vector<std::string> faults;  ///< plain words; empty: whole
};

class Store {
 public:
  virtual ~Store() = default;

  /// Files a session; gives its number. A film that is already there is
  /// refused by the number it has, or takes that session's place.
  virtual int file_session(const SessionRecord& record, bool replace) = 0;
  /// The session that this film became.
  virtual std::optional<SessionHead> find_film(const std::string& sha256) = 0;
  /// In order of time; of every launcher when `launcher` is empty.
  virtual std::vector<SessionHead> sessions(const std::string& launcher) = 0;
  virtual SessionRecord session(int id) = 0;

  virtual std::vector<std::string> launchers() = 0;
  /// The launcher gets this name. If it is that of another, the two become one,
  /// with the sessions, wheels and services of both. Gives its sessions.
  virtual int rename_launcher(const std::string& launcher,
                              const std::string& name) = 0;
  /// In order of time. Throws for a launcher that is not there.
  virtual std::vector<ServiceEvent> services(const std::string& launcher) = 0;
  /// A launcher that is not there yet is added.
  virtual int add_service(const ServiceEvent& event) = 0;

  /// Calls `visit` with each session of a launcher, in order of time.
  virtual void visit_series(
      const std::string& launcher,
      const std::vector<Characteristic>& characteristics,
      const std::function<void(const SessionSeries&)>& visit) = 0;

  virtual StoreCheck check() = 0;
  /// A whole copy in one new file; what others write meanwhile is in it or
  /// not, but never half.
  virtual void back_up(const std::filesystem::path& path) = 0;
};

}  // namespace evenfeed
