// SPDX-License-Identifier: MIT
// A session as it is kept: what was filmed, with what, and what came out.
#pragma once

#include "base/date_time.h"
#include "flight/feed.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

/// A declared property of a sample (thickness, hardness, tack, colour, batch,
/// glue, base, ...) or a setting of the launcher.
struct Property {
  std::string key;
  std::string value;
  bool operator==(const Property&) const = default;
};
/// "key=value", spaces around either left off; nullopt without a key or a
/// value.
std::optional<Property> parse_property(const std::string& text);

/// The film, known again by its fingerprint whatever it is called.
struct SourceFile {
  std::string path;
  std::int64_t bytes = 0;
  std::string sha256;
};

/// A feed with what was decided about it. The words are those of tagged.csv;
/// empty: not judged.
struct TaggedFeed {
  Feed feed;
  std::string phase;
  std::string verdict;
  std::string reasons;
};

/// What every list of sessions shows.
struct SessionHead {
  int id = 0;  ///< given by the store
  std::string launcher;
  std::string sample;
  std::string ball_set;  ///< empty: not said
  UnixSeconds started_at = 0;
  UnixSeconds filed_at = 0;
  SourceFile source;
  std::string profile_name;
  std::string program_version;  ///< that measured it; empty: not said
  std::string dated_by;         ///< how started_at is known; empty: not said
  bool ready = false;
  std::optional<int> ready_at_feed;
  std::optional<int> stable_from_feed;
  int feeds = 0;  ///< rows; these four are counted by the store
  int keep = 0;
  int review = 0;
  int discard = 0;
  std::string note;
};

struct SessionRecord {
  SessionHead head;
  std::string profile_text;
  std::string bench_text;
  std::string baseline_text;       ///< empty: the launcher was never ready
  std::string summary_text;        ///< summary.json without its charts
  std::vector<Property> settings;  ///< of the launcher, that day
  std::vector<Property> sample_properties;  ///< of the sample, as last declared
  std::vector<TaggedFeed> feeds;
};

}  // namespace evenfeed
