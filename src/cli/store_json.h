// SPDX-License-Identifier: MIT
// What `store` shows, for programs.
#pragma once

#include "cli/store_words.h"

#include <string>
#include <vector>

namespace evenfeed {

std::string sessions_json(const std::vector<SessionHead>& heads);
std::string session_json(const SessionRecord& record);
std::string services_json(const std::vector<ServiceEvent>& events);
std::string check_json(const StoreCheck& check);

}  // namespace evenfeed
