// SPDX-License-Identifier: MIT
// The trial log by single keys: letters that act at once, and letters behind
// which a text is typed. Plain bytes in, wishes out; no terminal.
#pragma once

#include "live/state_json.h"

#include <optional>
#include <string>

namespace evenfeed {

class BenchKeys {
 public:
  /// One byte that was typed; what is wished when it is complete. Words are the
  /// page's, and "help" and "end" besides.
  [[nodiscard]] std::optional<LogWish> typed(char byte);
  /// "sample: K" while a text is typed; empty otherwise.
  [[nodiscard]] std::string prompt() const;
  static std::string help();

 private:
  std::optional<LogWish> begun(char byte);

  std::string word_;  // of the text that is typed; empty: none
  std::string text_;
};

}  // namespace evenfeed
