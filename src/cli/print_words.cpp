// SPDX-License-Identifier: MIT
#include "cli/print_words.h"

#include "base/printable.h"

#include <fmt/format.h>

namespace evenfeed {

void print_words(std::string_view words, std::FILE* to) {
  fmt::print(to, "{}", printable_lines(words));
}

}  // namespace evenfeed
