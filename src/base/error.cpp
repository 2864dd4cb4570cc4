// SPDX-License-Identifier: MIT
#include "base/error.h"

#include "base/printable.h"

namespace evenfeed {
namespace {

// A question ends as it is.
std::string sentence(const std::string& words) {
  return words.ends_with('?') ? words : words + ".";
}

// A cell may hold megabytes, and a line of a file all its columns.
std::string bounded(const std::string& words) {
  constexpr std::size_t kMost = 500;
  return shortened(words, kMost);
}

}  // namespace

InputError::InputError(const std::string& place,
                       const std::string& problem,
                       const std::string& mend)
    : std::runtime_error(bounded(place) + ": " + sentence(bounded(problem)) +
                         " " + sentence(bounded(mend))) {}

}  // namespace evenfeed
