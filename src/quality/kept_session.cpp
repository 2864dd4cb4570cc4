// SPDX-License-Identifier: MIT
#include "quality/kept_session.h"

#include "quality/summary_file.h"
#include "session/json_text.h"

#include <map>

#include <nlohmann/json.hpp>

namespace evenfeed {

std::string summary_for_store(const Qualification& result) {
  auto json = nlohmann::ordered_json::parse(summary_text(result));
  json.erase("charts");
  return json_line(json);
}

std::vector<TaggedFeed> tagged_feeds(const std::vector<Feed>& feeds,
                                     const Qualification& result) {
  std::map<int, const FeedTag*> tags;
  for (const FeedTag& tag : result.tags) tags[tag.feed] = &tag;
  std::vector<TaggedFeed> tagged;
  for (const Feed& feed : feeds) {
    TaggedFeed one;
    one.feed = feed;
    if (const auto found = tags.find(feed.number); found != tags.end()) {
      const FeedTag& tag = *found->second;
      one.phase = phase_name(tag.phase);
      one.verdict = verdict_name(tag.verdict);
      for (const std::string& reason : tag.reasons) {
        one.reasons += (one.reasons.empty() ? "" : "; ") + reason;
      }
    }
    tagged.push_back(std::move(one));
  }
  return tagged;
}

}  // namespace evenfeed
