// SPDX-License-Identifier: MIT
#include "quality/words.h"

#include "flight/characteristics.h"

#include <array>
#include <cmath>
#include <utility>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// The unit a column name ends in, and the decimals it is shown with.
struct Shown {
  std::string_view unit;
  int decimals;
};

Shown shown(std::string_view name) {
  static constexpr std::array<std::pair<std::string_view, Shown>, 7> kEndings{{
      {"_mm", {"mm", 1}},
      {"_mps", {"m/s", 3}},
      {"_deg", {"deg", 2}},
      {"_ms", {"ms", 2}},
      {"_s", {"s", 4}},
      {"_revps", {"rev/s", 2}},
      {"_px", {"px", 2}},
  }};
  for (const auto& [ending, how] : kEndings) {
    if (name.size() > ending.size() &&
        name.substr(name.size() - ending.size()) == ending) {
      return how;
    }
  }
  return {"", 4};
}

}  // namespace

int shown_decimals(std::string_view name) { return shown(name).decimals; }

std::string_view characteristic_unit(std::string_view name) {
  return shown(name).unit;
}

std::string characteristic_words(const std::string& name) {
  const auto id = find_characteristic(name);
  return id ? std::string(info(*id).words) : name;
}

std::vector<std::string> characteristic_words(
    const std::vector<std::string>& names) {
  std::vector<std::string> words;
  for (const std::string& name : names) {
    words.push_back(characteristic_words(name));
  }
  return words;
}

std::string characteristic_value(const std::string& name, double value) {
  if (!std::isfinite(value)) return "unknown";
  const Shown how = shown(name);
  return how.unit.empty()
             ? fmt::format("{:.{}f}", value, how.decimals)
             : fmt::format("{:.{}f} {}", value, how.decimals, how.unit);
}

std::string signed_value(const std::string& name, double value) {
  std::string text = characteristic_value(name, value);
  if (value > 0) text.insert(text.begin(), '+');
  return text;
}

}  // namespace evenfeed
