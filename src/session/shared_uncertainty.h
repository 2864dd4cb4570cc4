// SPDX-License-Identifier: MIT
// What a film leaves uncertain in all of its feeds alike.
#pragma once

#include <map>
#include <string>
#include <vector>

namespace evenfeed {

/// A cause of errors that a film's feeds have in common.
struct SharedCause {
  std::string name;  ///< "drag"
  /// Whose it is (a set of balls, a launcher, a bench, the film); empty: of
  /// that which was not named.
  std::string of;
  double believed = 0;  ///< before the film was seen
  double sd = 1;        ///< of what was believed
  double spread = 0;    ///< of it from feed to feed
  /// By column: how far the feeds are off when what was believed is one sd off.
  std::map<std::string, double> moves;
  bool operator==(const SharedCause&) const = default;

  /// Whether it errs in another film as in this one: the same thing, of which
  /// the same was believed.
  bool same_as(const SharedCause& other) const {
    return name == other.name && of == other.of && believed == other.believed &&
           sd == other.sd;
  }
};

struct SharedUncertainty {
  /// By column: a standard uncertainty, in the column's unit.
  std::map<std::string, double> sigma;
  /// What makes it; empty: not told.
  std::vector<SharedCause> causes;
  bool operator==(const SharedUncertainty&) const = default;

  bool empty() const { return sigma.empty(); }
  /// 0 for a column of which nothing is told.
  double in(const std::string& column) const {
    const auto found = sigma.find(column);
    return found == sigma.end() ? 0 : found->second;
  }
};

}  // namespace evenfeed
