// SPDX-License-Identifier: MIT
// News for any number of readers, each at its own pace. Only the last are kept:
// a reader that is too slow is told that it missed some, and memory stays what
// it is.
#pragma once

#include <chrono>
#include <condition_variable>
#include <cstdint>
#include <deque>
#include <mutex>
#include <string>
#include <vector>

namespace evenfeed {

class NewsBoard {
 public:
  struct News {
    std::uint64_t number = 0;
    std::string kind;
    std::string json;
  };
  struct Read {
    std::vector<News> news;
    bool missed = false;  ///< some are gone already
    bool closed = false;
  };

  explicit NewsBoard(std::size_t kept = 64) : kept_(kept) {}

  void post(std::string kind, std::string json) {
    const std::lock_guard lock(mutex_);
    news_.push_back({++last_, std::move(kind), std::move(json)});
    if (news_.size() > kept_) news_.pop_front();
    changed_.notify_all();
  }
  /// Those after `after`; waits for one, no longer than `wait`.
  [[nodiscard]] Read read(std::uint64_t after, std::chrono::milliseconds wait) {
    std::unique_lock lock(mutex_);
    changed_.wait_for(lock, wait, [&] { return closed_ || last_ > after; });
    Read all;
    all.closed = closed_;
    all.missed = !news_.empty() && news_.front().number > after + 1;
    for (const News& one : news_) {
      if (one.number > after) all.news.push_back(one);
    }
    return all;
  }
  [[nodiscard]] std::uint64_t last() const {
    const std::lock_guard lock(mutex_);
    return last_;
  }
  void close() {
    const std::lock_guard lock(mutex_);
    closed_ = true;
    changed_.notify_all();
  }

 private:
  const std::size_t kept_;
  mutable std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<News> news_;
  std::uint64_t last_ = 0;
  bool closed_ = false;
};

}  // namespace evenfeed
