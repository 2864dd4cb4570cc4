// SPDX-License-Identifier: MIT
#include "session/session_record.h"

namespace evenfeed {
namespace {

std::string trimmed(const std::string& text) {
  const auto first = text.find_first_not_of(" \t");
  if (first == std::string::npos) return {};
  return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

}  // namespace

std::optional<Property> parse_property(const std::string& text) {
  const auto equals = text.find('=');
  if (equals == std::string::npos) return std::nullopt;
  Property property{trimmed(text.substr(0, equals)),
                    trimmed(text.substr(equals + 1))};
  if (property.key.empty() || property.value.empty()) return std::nullopt;
  return property;
}

}  // namespace evenfeed
