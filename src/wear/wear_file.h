// SPDX-License-Identifier: MIT
// What was found of wear, as wear.json.
#pragma once

#include "wear/wear.h"

#include <string>

namespace evenfeed {

/// wear.json.
std::string wear_text(const WearResult& result);

}  // namespace evenfeed
