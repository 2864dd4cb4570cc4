// SPDX-License-Identifier: MIT
// What a store holds, as tables for people and as JSON for programs.
#pragma once

#include "session/store.h"

#include <string>
#include <vector>

namespace evenfeed {

std::string sessions_table(const std::vector<SessionHead>& heads);
std::string sessions_json(const std::vector<SessionHead>& heads);
/// A row per session: what was filmed, what was decided, and mean and sd of
/// every value over the feeds that were kept. Empty: not known, or fewer than
/// two feeds.
std::string sessions_csv(const std::vector<SessionRecord>& sessions);
std::string session_words(const SessionRecord& record);
std::string session_json(const SessionRecord& record);
std::string services_table(const std::vector<ServiceEvent>& events);
std::string services_json(const std::vector<ServiceEvent>& events);
std::string check_words(const StoreCheck& check);
std::string check_json(const StoreCheck& check);

/// tagged.csv of a stored session: feeds, phase, verdict, reasons.
std::string stored_tags_text(const SessionRecord& record);

}  // namespace evenfeed
