// SPDX-License-Identifier: MIT
#include "session/provenance.h"

#include <fmt/format.h>

namespace evenfeed {

std::string_view dated_by_words(std::string_view word) {
  if (word == kDatedBySaid) return "as was said";
  if (word == kDatedByFilm) return "as the film itself says";
  if (word == kDatedByFile) return "when the file was last written";
  return {};
}

std::string date_doubt(UnixSeconds taken, UnixSeconds last_written) {
  constexpr UnixSeconds kDay_s = 86400;
  if (last_written >= taken - kDay_s) return {};
  return fmt::format(
      "the film says that it was taken on {}, but its file was last written on "
      "{}, before that: the first was used; if the camera's clock was wrong, "
      "say --date",
      date_text(taken),
      date_text(last_written));
}

}  // namespace evenfeed
