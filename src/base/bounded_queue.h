// SPDX-License-Identifier: MIT
// Hands things from one thread to the next, in order, never more than a few at
// a time: the bound keeps memory from growing when the taker is slower, and an
// exception of the giver comes out at the taker, behind what was given before.
#pragma once

#include <condition_variable>
#include <cstddef>
#include <deque>
#include <exception>
#include <mutex>
#include <optional>
#include <utility>

namespace evenfeed {

template <typename T>
class BoundedQueue {
 public:
  /// `bound`: at least 1.
  explicit BoundedQueue(std::size_t bound) : bound_(bound) {}

  /// Giver: waits for room. False when the taker wants no more.
  bool push(T thing) {
    std::unique_lock lock(mutex_);
    changed_.wait(lock, [&] { return abandoned_ || things_.size() < bound_; });
    if (abandoned_) return false;
    things_.push_back(std::move(thing));
    changed_.notify_all();
    return true;
  }

  /// Giver: that was all, or all there was before `failure`.
  void finish(std::exception_ptr failure = nullptr) {
    const std::lock_guard lock(mutex_);
    failure_ = std::move(failure);
    finished_ = true;
    changed_.notify_all();
  }

  /// Giver: gives what `next` gives, an optional, until it is empty or the
  /// taker wants no more; then finishes, with what `next` threw if it did.
  template <typename Next>
  void give_all(const Next& next) {
    try {
      while (std::optional<T> thing = next()) {
        if (!push(std::move(*thing))) break;
      }
      finish();
    } catch (...) {
      finish(std::current_exception());
    }
  }

  /// Taker: waits for the next thing; nullopt after the last. Throws the
  /// giver's failure once, when everything before it was taken.
  std::optional<T> pop() {
    std::unique_lock lock(mutex_);
    changed_.wait(lock, [&] { return finished_ || !things_.empty(); });
    if (things_.empty()) {
      if (failure_) std::rethrow_exception(std::exchange(failure_, nullptr));
      return std::nullopt;
    }
    std::optional<T> thing(std::move(things_.front()));
    things_.pop_front();
    changed_.notify_all();
    return thing;
  }

  /// Taker: wants no more. Whoever waits to give goes on at once.
  void abandon() {
    const std::lock_guard lock(mutex_);
    abandoned_ = true;
    things_.clear();
    changed_.notify_all();
  }

  /// Whether everything was given (it may not all have been taken).
  bool finished() const {
    const std::lock_guard lock(mutex_);
    return finished_;
  }

 private:
  const std::size_t bound_;
  mutable std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<T> things_;
  std::exception_ptr failure_;
  bool finished_ = false;
  bool abandoned_ = false;
};

}  // namespace evenfeed
