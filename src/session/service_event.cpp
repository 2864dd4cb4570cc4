// SPDX-License-Identifier: MIT
#include "session/service_event.h"

#include <array>

namespace evenfeed {
namespace {

struct KindInfo {
  ServiceKind kind;
  std::string_view name;
  std::string_view words;
};

constexpr std::array<KindInfo, 5> kKinds{{
    {ServiceKind::kWheelCleaned, "wheel-cleaned", "wheel cleaned"},
    {ServiceKind::kWheelReplaced, "wheel-replaced", "wheel replaced"},
    {ServiceKind::kNewBalls, "new-balls", "new balls"},
    {ServiceKind::kLauncherMoved, "launcher-moved", "launcher moved"},
    {ServiceKind::kMotorServiced, "motor-serviced", "motor serviced"},
}};

}  // namespace

std::string_view service_kind_name(ServiceKind kind) {
  return kKinds[static_cast<std::size_t>(kind)].name;
}

std::string_view service_kind_words(ServiceKind kind) {
  return kKinds[static_cast<std::size_t>(kind)].words;
}

std::optional<ServiceKind> find_service_kind(std::string_view name) {
  for (const KindInfo& one : kKinds) {
    if (one.name == name) return one.kind;
  }
  return std::nullopt;
}

std::vector<std::string> service_kind_names() {
  std::vector<std::string> names;
  for (const KindInfo& one : kKinds) names.emplace_back(one.name);
  return names;
}

}  // namespace evenfeed
