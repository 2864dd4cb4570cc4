// SPDX-License-Identifier: MIT
// A launcher's sessions in order of time, with the feeds it had run before
// each and the service entries between them.
#pragma once

#include "session/service_event.h"
#include "wear/measures.h"

#include <limits>
#include <string>
#include <vector>

namespace evenfeed {

struct WearSession {
  int id = 0;  ///< in the store
  UnixSeconds started_at = 0;
  int feeds = 0;
  double feeds_before = 0;  ///< of this launcher, filmed or not
  bool ready = false;
  std::string settings;  ///< of the launcher: other settings, other levels
  /// Sessions with the same share the set-up: its name, else the calibration's
  /// hash; empty: not known.
  std::string setup;
  /// Of the room, degrees Celsius; NaN: not told.
  double temperature_C = std::numeric_limits<double>::quiet_NaN();
  std::string program_version;  ///< that measured it; empty: not told
  SessionValues values;

  double feeds_mid() const { return feeds_before + 0.5 * feeds; }
};

struct WearEvent {
  ServiceKind kind = ServiceKind::kWheelCleaned;
  UnixSeconds at = 0;
  std::string item;
  std::string note;
  double feeds_before = 0;  ///< run when it happened
  int sessions_before = 0;
};

struct WearHistory {
  std::string launcher;
  std::vector<WearSession> sessions;
  std::vector<WearEvent> events;
  double feeds = 0;  ///< run up to now, filmed or not
};

/// Whether a service may change the level of a measure, so that what came
/// before and after must not be compared.
bool breaks(ServiceKind kind, Measure measure);

/// Collects sessions one by one, in order of time.
class HistoryBuilder {
 public:
  /// `events` in order of time.
  HistoryBuilder(std::string launcher,
                 const std::vector<ServiceEvent>& events,
                 int fewest_feeds);
  void add(const SessionSeries& series);
  WearHistory finish();

 private:
  void add_events_until(UnixSeconds when);
  std::vector<ServiceEvent> events_;
  std::size_t next_event_ = 0;
  int fewest_feeds_;
  WearHistory history_;
};

}  // namespace evenfeed
