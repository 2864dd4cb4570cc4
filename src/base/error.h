// SPDX-License-Identifier: MIT
// The three kinds of error (DEVELOPERS.md, "Errors"):
//   a bug               -> std::logic_error, from require() in base/check.h
//   an expected outcome -> a status in the result struct, never an exception
//   the user or a file  -> UsageError or InputError, caught once in main
#pragma once

#include <stdexcept>
#include <string>

namespace evenfeed {

/// Wrong use of a command: an option, a value or a combination. Exit code 2.
class UsageError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

/// A file cannot be used, or the job could not be done with it. Exit code 1.
/// The message names the place, what is wrong, and how to mend it.
class InputError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
  /// "<place>: <problem>. <mend>." `place` is a file, file:line, or option.
  InputError(const std::string& place,
             const std::string& problem,
             const std::string& mend);
};

}  // namespace evenfeed
