// SPDX-License-Identifier: MIT
#include "stats/running_stats.h"

#include "base/nan.h"

#include <cmath>

#include <boost/accumulators/accumulators.hpp>
#include <boost/accumulators/statistics/count.hpp>
#include <boost/accumulators/statistics/max.hpp>
#include <boost/accumulators/statistics/mean.hpp>
#include <boost/accumulators/statistics/min.hpp>
#include <boost/accumulators/statistics/stats.hpp>
#include <boost/accumulators/statistics/variance.hpp>

namespace evenfeed {
namespace {

namespace acc = boost::accumulators;

}  // namespace

struct RunningStats::Impl {
  acc::accumulator_set<double,
                       acc::stats<acc::tag::count,
                                  acc::tag::immediate_mean,
                                  acc::tag::variance(acc::immediate),
                                  acc::tag::min,
                                  acc::tag::max>>
      set;
  std::size_t missing = 0;
};

RunningStats::RunningStats() : impl_(std::make_unique<Impl>()) {}
RunningStats::~RunningStats() = default;
RunningStats::RunningStats(const RunningStats& other)
    : impl_(std::make_unique<Impl>(*other.impl_)) {}
RunningStats& RunningStats::operator=(const RunningStats& other) {
  *impl_ = *other.impl_;
  return *this;
}

void RunningStats::add(double value) {
  if (std::isfinite(value)) {
    impl_->set(value);
  } else {
    ++impl_->missing;
  }
}

std::size_t RunningStats::count() const { return acc::count(impl_->set); }
std::size_t RunningStats::missing() const { return impl_->missing; }

double RunningStats::mean() const {
  return count() == 0 ? kNaN : acc::mean(impl_->set);
}

double RunningStats::sd() const {
  const auto n = static_cast<double>(count());
  if (n < 2) return kNaN;
  // The library divides by n.
  return std::sqrt(acc::variance(impl_->set) * n / (n - 1));
}

double RunningStats::min() const {
  return count() == 0 ? kNaN : acc::min(impl_->set);
}

double RunningStats::max() const {
  return count() == 0 ? kNaN : acc::max(impl_->set);
}

}  // namespace evenfeed
