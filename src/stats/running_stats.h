// SPDX-License-Identifier: MIT
// Mean and spread of values that arrive one at a time (Boost.Accumulators,
// immediate updates). Values that are not finite are counted as missing and
// change nothing else.
#pragma once

#include <cstddef>
#include <memory>

namespace evenfeed {

class RunningStats {
 public:
  RunningStats();
  ~RunningStats();
  RunningStats(const RunningStats& other);
  RunningStats& operator=(const RunningStats& other);

  void add(double value);
  std::size_t count() const;    ///< finite values
  std::size_t missing() const;  ///< the others
  double mean() const;          ///< NaN when empty
  double sd() const;            ///< divisor n - 1; NaN below two values
  double min() const;           ///< NaN when empty
  double max() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace evenfeed
