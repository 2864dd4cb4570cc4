// SPDX-License-Identifier: MIT
// From a wanted in-control run length to the limit that gives it.
#pragma once

#include <functional>
#include <map>
#include <mutex>
#include <vector>

namespace evenfeed {

/// The limit between `low` and `high` at which the increasing function
/// `run_length_of` reaches `wanted`, to 1e-9 relative, by regula falsi
/// (Illinois) on its logarithm. Throws UsageError when `wanted` is not
/// between the run lengths at both ends.
double find_limit(const std::function<double(double)>& run_length_of,
                  double wanted,
                  double low,
                  double high);

/// Remembers designs, most of them a limit; safe to use from several threads.
template <typename Design = double>
class DesignCache {
 public:
  Design find(const std::vector<double>& key,
              const std::function<Design()>& compute) {
    const std::lock_guard<std::mutex> lock(mutex_);
    const auto it = known_.find(key);
    if (it != known_.end()) return it->second;
    return known_.emplace(key, compute()).first->second;
  }

 private:
  std::mutex mutex_;
  std::map<std::vector<double>, Design> known_;
};

}  // namespace evenfeed
