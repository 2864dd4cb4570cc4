// SPDX-License-Identifier: MIT
// What a store holds, as tables for people and as JSON for programs.
#pragma once

#include "session/store.h"

#include <string>
#include <vector>

namespace evenfeed {

std::string sessions_table(const std::vector<SessionHead>& heads);
std::string session_words(const SessionRecord& record);
std::string services_table(const std::vector<ServiceEvent>& events);
std::string check_words(const StoreCheck& check);

/// tagged.csv of a stored session: feeds, phase, verdict, reasons.
std::string stored_tags_text(const SessionRecord& record);

}  // namespace evenfeed
