// SPDX-License-Identifier: MIT
// The wear of a launcher as a few lines for the screen.
#pragma once

#include "wear/wear.h"

#include <string>

namespace evenfeed {

std::string wear_words(const WearResult& result);

}  // namespace evenfeed
