// SPDX-License-Identifier: MIT
#include "cli/store_json.h"

#include "cli/store_words.h"
#include "session/json_text.h"

#include <nlohmann/json.hpp>

namespace evenfeed {
namespace {

using Json = nlohmann::ordered_json;

Json feed_or_null(const std::optional<int>& feed) {
  return feed ? Json(*feed) : Json(nullptr);
}

Json text_or_null(const std::string& text) {
  return text.empty() ? Json(nullptr) : Json(text);
}

Json head_json(const SessionHead& head) {
  return {{"session", head.id},
          {"launcher", head.launcher},
          {"sample", head.sample},
          {"balls", text_or_null(head.ball_set)},
          {"filmed", date_time_text(head.started_at)},
          {"dated_by", text_or_null(head.dated_by)},
          {"filed", date_time_text(head.filed_at)},
          {"film", head.source.path},
          {"bytes", head.source.bytes},
          {"sha256", head.source.sha256},
          {"profile", head.profile_name},
          {"program_version", text_or_null(head.program_version)},
          {"ready", head.ready},
          {"ready_at_feed", feed_or_null(head.ready_at_feed)},
          {"stable_from_feed", feed_or_null(head.stable_from_feed)},
          {"feeds", head.feeds},
          {"counts",
           {{"keep", head.keep},
            {"review", head.review},
            {"discard", head.discard}}},
          {"note", text_or_null(head.note)}};
}

Json properties_json(const std::vector<Property>& properties) {
  Json json = Json::object();
  for (const Property& one : properties) json[one.key] = one.value;
  return json;
}

Json parsed_or_null(const std::string& text) {
  const Json json = Json::parse(text, nullptr, false);
  return json.is_discarded() ? Json(nullptr) : json;
}

}  // namespace

std::string sessions_json(const std::vector<SessionHead>& heads) {
  Json json{{"sessions", Json::array()}};
  for (const SessionHead& head : heads) {
    json["sessions"].push_back(head_json(head));
  }
  return json_text(json);
}

std::string session_json(const SessionRecord& record) {
  Json json = head_json(record.head);
  json["settings"] = properties_json(record.settings);
  json["sample_properties"] = properties_json(record.sample_properties);
  json["baseline"] = parsed_or_null(record.baseline_text);
  json["summary"] = parsed_or_null(record.summary_text);
  return json_text(json);
}

std::string services_json(const std::vector<ServiceEvent>& events) {
  Json json{{"services", Json::array()}};
  for (const ServiceEvent& event : events) {
    json["services"].push_back({{"entry", event.id},
                                {"launcher", event.launcher},
                                {"at", date_time_text(event.at)},
                                {"kind", service_kind_name(event.kind)},
                                {"item", text_or_null(event.item)},
                                {"unfilmed_feeds", event.unfilmed_feeds},
                                {"note", text_or_null(event.note)}});
  }
  return json_text(json);
}

std::string check_json(const StoreCheck& check) {
  return json_text(Json({{"whole", check.faults.empty()},
                         {"sessions", check.sessions},
                         {"feeds", check.feeds},
                         {"faults", check.faults}}));
}

}  // namespace evenfeed
