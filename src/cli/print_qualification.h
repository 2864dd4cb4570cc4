// SPDX-License-Identifier: MIT
// The verdict on a trial as a few lines for the screen.
#pragma once

#include "quality/qualification.h"

#include <string>

namespace evenfeed {

std::string qualification_words(const Qualification& result);

}  // namespace evenfeed
