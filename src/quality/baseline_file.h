// SPDX-License-Identifier: MIT
// A baseline as the text of its file, and back.
#pragma once

#include "quality/baseline.h"

#include <string>

namespace evenfeed {

/// A baseline as a JSON text, and back. read throws InputError naming the
/// file for anything that is not a baseline written by baseline_text().
std::string baseline_text(const Baseline& baseline);
Baseline parse_baseline(const std::string& text, const std::string& name);

}  // namespace evenfeed
