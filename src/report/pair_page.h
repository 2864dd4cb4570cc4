// SPDX-License-Identifier: MIT
// pair.html: a comparison as one page that opens from disk. Sentences, tables
// and caveats are there without any script; two pictures need one.
#pragma once

#include "pairing/comparison.h"

#include <string>

namespace evenfeed {

/// The whole page. Everything that came from a file is escaped.
std::string pair_page(const Comparison& comparison);

}  // namespace evenfeed
