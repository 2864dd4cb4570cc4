// SPDX-License-Identifier: MIT
// What was done to a launcher, and when: the service log.
#pragma once

#include "base/date_time.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace evenfeed {

enum class ServiceKind {
  kWheelCleaned,
  kWheelReplaced,
  kNewBalls,
  kLauncherMoved,
  kMotorServiced,
};

/// "wheel-cleaned" and so on, as on the command line and in the store.
std::string_view service_kind_name(ServiceKind kind);
/// For people: "wheel cleaned".
std::string_view service_kind_words(ServiceKind kind);
std::optional<ServiceKind> find_service_kind(std::string_view name);
/// Every name, for messages: "wheel-cleaned, wheel-replaced, ...".
std::vector<std::string> service_kind_names();

struct ServiceEvent {
  int id = 0;  ///< given by the store
  std::string launcher;
  UnixSeconds at = 0;
  ServiceKind kind = ServiceKind::kWheelCleaned;
  std::string item;  ///< name of the new wheel or set of balls; may be empty
  std::string note;
  /// Feeds the launcher ran without a camera since the entry before: wear
  /// counts them too.
  int unfilmed_feeds = 0;
};

}  // namespace evenfeed
