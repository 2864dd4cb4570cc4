// SPDX-License-Identifier: MIT
#include "cli/print_words.h"

#include "base/printable.h"
#include "cli/wrapped.h"

#include <fmt/format.h>
#include <sys/ioctl.h>
#include <unistd.h>

namespace evenfeed {
namespace {

// 0: no terminal, or one that does not tell. Files and pipes get whole lines.
std::size_t columns_of(std::FILE* to) {
  const int file = ::fileno(to);
  winsize size{};
  if (::isatty(file) != 1 || ::ioctl(file, TIOCGWINSZ, &size) != 0) return 0;
  return size.ws_col;
}

}  // namespace

void print_words(std::string_view words, std::FILE* to) {
  fmt::print(to, "{}", wrapped_lines(printable_lines(words), columns_of(to)));
}

}  // namespace evenfeed
