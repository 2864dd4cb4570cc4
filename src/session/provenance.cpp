// SPDX-License-Identifier: MIT
#include "session/provenance.h"

namespace evenfeed {

std::string_view dated_by_words(std::string_view word) {
  if (word == kDatedBySaid) return "as was said";
  if (word == kDatedByFilm) return "as the film itself says";
  if (word == kDatedByFile) return "when the file was last written";
  return {};
}

}  // namespace evenfeed
