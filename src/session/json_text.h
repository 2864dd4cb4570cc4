// SPDX-License-Identifier: MIT
// JSON as the program writes it. Text that is not UTF-8 (a film's name) must
// not stop an answer: its bytes are replaced.
#pragma once

#include <string>

namespace evenfeed {

/// On one line. `Json`: nlohmann's.
template <typename Json>
[[nodiscard]] std::string json_line(const Json& json) {
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

/// A whole file, for people too.
template <typename Json>
[[nodiscard]] std::string json_text(const Json& json) {
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace evenfeed
