// SPDX-License-Identifier: MIT
// Invented sessions to file.
#pragma once

#include "base/sha256.h"
#include "session/session_record.h"

#include <string>

#include <fmt/format.h>

namespace evenfeed {

/// `name` makes the film's fingerprint; every field holds something of its
/// own, so that one in the wrong place is found out.
inline SessionRecord sample_session(const std::string& name, int feeds = 12) {
  SessionRecord record;
  SessionHead& head = record.head;
  head.launcher = "bench A";
  head.sample = "sheet K";
  head.ball_set = "balls 3";
  head.started_at = 1773500000;
  head.filed_at = 1773600000;
  head.source = {"films/" + name + ".mp4", 1234567, sha256_of(name)};
  head.profile_name = "table-tennis";
  head.ready = true;
  head.ready_at_feed = 8;
  head.stable_from_feed = 3;
  head.note = "window open";
  record.profile_text = "[surface]\n";
  record.bench_text = "[camera]\n";
  record.baseline_text = "{\"n\": 5}";
  record.summary_text = "{\"ready\": true}";
  record.settings = {{"wheel speed", "40"}, {"angle", "12"}};
  record.sample_properties = {{"hardness", "47"}, {"thickness_mm", "2.0"}};
  for (int i = 1; i <= feeds; ++i) {
    TaggedFeed one;
    one.feed.number = i;
    one.feed.t_launch_s = 1.5 * i;
    one.feed.t_bounce_s = 1.5 * i + 0.3;
    one.feed.st_bounce_s = 0.0003;
    double value = 100.0 * i;
    for (Measured& measured : one.feed.values) {
      measured = {value, value / 1000};
      value += 1;
    }
    for (Measured& measured : one.feed.returned) {
      measured = {value, value / 1000};
      value += 1;
    }
    one.feed.rho_xy = -0.25;
    one.feed.sightings = 20 + i;
    one.feed.rms_px = 0.31;
    one.feed.timing = "sight+sound";
    one.feed.status = FeedStatus::kMeasured;
    one.phase = i < 3 ? "warm-up" : "monitor";
    one.verdict = i < 3 ? "review" : "keep";
    record.feeds.push_back(one);
  }
  if (feeds > 4) {
    TaggedFeed& bad = record.feeds[3];
    bad.feed.values[0] = {};
    bad.feed.status = FeedStatus::kUnmeasured;
    bad.feed.note = "lost behind the net";
    bad.verdict = "discard";
    bad.reasons = "x_mm 1900.0 mm, limit 1500.0 mm";
  }
  return record;
}

}  // namespace evenfeed
