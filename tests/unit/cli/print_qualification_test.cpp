// SPDX-License-Identifier: MIT
#include "cli/print_qualification.h"

#include <string>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

Qualification ready() {
  Qualification result;
  result.feeds = 100;
  result.ready = true;
  result.ready_at_feed = 30;
  result.stable_from_feed = 7;
  return result;
}

Signal change_at(int feed) {
  Signal signal;
  signal.feed = feed + 6;
  signal.changed_at_feed = feed;
  return signal;
}

FeedTag under_review() {
  FeedTag tag;
  tag.verdict = Verdict::kReview;
  return tag;
}

bool says(const Qualification& result, const std::string& words) {
  return verdict_words(result).find(words) != std::string::npos;
}

}  // namespace

TEST_CASE("the terminal says, as the page does, that something changed") {
  Qualification result = ready();
  CHECK(says(result, "READY at feed 30, stable since feed 7\n"));
  result.signals = {change_at(84)};
  CHECK(says(result, "stable since feed 7\n"));  // and is over
  result.tags = {under_review()};
  CHECK(says(result,
             "stable since feed 7, but something changed about feed 84\n"));
  result.baseline_given = true;
  CHECK(says(result, "since feed 7, but something changed about feed 84\n"));
  result.signals = {change_at(20)};
  CHECK(says(result, "since feed 7\n"));
}
