// SPDX-License-Identifier: MIT
#include "live/trial_log.h"

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("a sample stands from when it was clamped to the next") {
  TrialLog log;
  log.add({LogWord::kSample, 10, "K"});
  log.add({LogWord::kBall, 12, "3"});
  log.add({LogWord::kSample, 20, "M"});
  CHECK(log.of(5, 5.5).sample.empty());
  CHECK(log.of(11, 11.5).sample == "K");
  CHECK(log.of(11, 11.5).ball.empty());
  CHECK(log.of(19.9, 20.4).sample == "K");  // it flew when M was clamped
  CHECK(log.of(21, 21.5).sample == "M");
  CHECK(log.of(21, 21.5).ball == "3");
  CHECK(log.sample_now() == "M");
}

TEST_CASE("a note and an exclusion are one feed's, and can be undone") {
  TrialLog log;
  log.add({LogWord::kNote, 31.4, "glass turned"});
  log.add({LogWord::kExclude, 31.4, ""});
  CHECK(log.of(31, 31.5).excluded);
  CHECK(log.of(31, 31.5).note == "glass turned");
  CHECK_FALSE(log.of(29, 29.5).excluded);
  CHECK_FALSE(log.of(32, 32.5).excluded);
  CHECK(log.undo());
  CHECK_FALSE(log.of(31, 31.5).excluded);
  CHECK(log.undo());
  CHECK_FALSE(log.undo());
}

TEST_CASE("what tables or terminals would obey is refused") {
  CHECK(TrialLog::why_not(LogWord::kSample, "K").empty());
  CHECK(TrialLog::why_not(LogWord::kSample, "<script>").empty());  // text only
  CHECK_FALSE(TrialLog::why_not(LogWord::kSample, "").empty());
  CHECK_FALSE(TrialLog::why_not(LogWord::kSample, "=1+1").empty());
  CHECK_FALSE(TrialLog::why_not(LogWord::kNote, "a\x1b[2J").empty());
  CHECK_FALSE(TrialLog::why_not(LogWord::kNote, "\xff").empty());
  CHECK_FALSE(TrialLog::why_not(LogWord::kNote, std::string(300, 'a')).empty());
  CHECK(TrialLog::why_not(LogWord::kExclude, "").empty());
  CHECK_FALSE(TrialLog::find_word("undo"));
}
