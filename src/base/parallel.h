// SPDX-License-Identifier: MIT
// The same work for many things that know nothing of each other, on all cores.
// What comes out does not depend on the number of threads: each index writes
// its own place, and what is summed is summed afterwards in order.
#pragma once

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

namespace evenfeed {

/// Calls work(i) for every i below `count`; the first exception comes out when
/// all threads have stopped, and work not begun by then is not done.
template <typename Work>
void for_each_index(std::size_t count, const Work& work) {
  const std::size_t threads =
      std::min<std::size_t>(count, std::thread::hardware_concurrency());
  if (threads < 2) {
    for (std::size_t i = 0; i < count; ++i) work(i);
    return;
  }
  std::atomic<std::size_t> next{0};
  std::exception_ptr failure;
  std::mutex mutex;
  const auto take = [&] {
    for (std::size_t i = next++; i < count; i = next++) {
      try {
        work(i);
      } catch (...) {
        next = count;
        const std::lock_guard lock(mutex);
        if (!failure) failure = std::current_exception();
      }
    }
  };
  std::vector<std::jthread> pool;
  for (std::size_t k = 1; k < threads; ++k) pool.emplace_back(take);
  take();
  pool.clear();  // joins
  if (failure) std::rethrow_exception(failure);
}

}  // namespace evenfeed
