// SPDX-License-Identifier: MIT
#include "base/error.h"

namespace evenfeed {
namespace {

// A question ends as it is.
std::string sentence(const std::string& words) {
  return words.ends_with('?') ? words : words + ".";
}

}  // namespace

InputError::InputError(const std::string& place,
                       const std::string& problem,
                       const std::string& mend)
    : std::runtime_error(place + ": " + sentence(problem) + " " +
                         sentence(mend)) {}

}  // namespace evenfeed
