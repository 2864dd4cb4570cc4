// SPDX-License-Identifier: MIT
// What a film leaves uncertain in all of its feeds alike.
#pragma once

#include <map>
#include <string>

namespace evenfeed {

/// By column: a standard uncertainty, in the column's unit.
using SharedUncertainty = std::map<std::string, double>;

/// 0 for a column of which nothing is told.
inline double shared_in(const SharedUncertainty& film,
                        const std::string& column) {
  const auto found = film.find(column);
  return found == film.end() ? 0 : found->second;
}

}  // namespace evenfeed
