// SPDX-License-Identifier: MIT
// The verdict on a trial as a few lines for the screen.
#pragma once

#include "quality/qualification.h"

#include <string>

namespace evenfeed {

std::string qualification_words(const Qualification& result);

/// Its first lines alone: ready or not, why not, how many may be used.
std::string verdict_words(const Qualification& result);
/// The rest.
std::string judgement_details(const Qualification& result);

}  // namespace evenfeed
