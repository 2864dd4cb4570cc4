// SPDX-License-Identifier: MIT
#include "wear/options.h"

#include "base/check.h"
#include "base/error.h"
#include "wear/measures.h"

#include <fmt/format.h>

namespace evenfeed {
namespace {

std::string measure_names() {
  std::string names;
  for (const MeasureInfo& one : measures()) {
    names += (names.empty() ? "" : ", ") + std::string(one.name);
  }
  return names;
}

}  // namespace

void WearOptions::check() const {
  require_in_range(confidence, 0.5, 0.9999, "wear.confidence");
  require_in_range(alarm, 1e-6, 0.2, "wear.alarm");
  require_in_range(fewest_feeds, 3, 10000, "wear.fewest_feeds");
  require_in_range(fewest_sessions, 4, 10000, "wear.fewest_sessions");
  for (const auto& [name, width] : allowed) {
    require_positive(width, "wear.allowed." + name);
  }
}

WearOptions load_wear(const TomlTable& section) {
  WearOptions options;
  options.confidence = section.number("confidence", options.confidence);
  options.alarm = section.number("alarm", options.alarm);
  options.fewest_feeds = section.integer("fewest_feeds", options.fewest_feeds);
  options.fewest_sessions =
      section.integer("fewest_sessions", options.fewest_sessions);
  const TomlTable allowed = section.table_or_empty("allowed");
  for (const std::string& name : allowed.keys()) {
    if (!find_measure(name)) {
      allowed.refuse(
          name, "this is not a measure of wear", "Allowed: " + measure_names());
    }
    options.allowed[name] = allowed.number(name);
  }
  check_loaded(section, options);
  section.refuse_unknown();
  return options;
}

}  // namespace evenfeed
