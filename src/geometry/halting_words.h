// SPDX-License-Identifier: MIT
// What halting_balls.h finds, for people.
#pragma once

namespace evenfeed {

inline constexpr const char* kHaltingWords =
    "balls are seen at one place in two or three pictures and then leap to the "
    "next: pictures were doubled, blended or invented when the film was saved "
    "again at another rate";
inline constexpr const char* kMistimedWords =
    "balls stand still for a picture now and then and go no further after it: "
    "some pictures were doubled when the film was saved again at another rate "
    "than it was taken, and none has the time it says";
/// What to do about a film that was changed since.
inline constexpr const char* kGiveAsTaken = "Give the film as it was taken";

}  // namespace evenfeed
