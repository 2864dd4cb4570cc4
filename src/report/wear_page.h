// SPDX-License-Identifier: MIT
// wear.html: a launcher's wear as one file that opens from disk, made like the
// report of a session (report/page.h).
#pragma once

#include "wear/wear.h"

#include <string>

namespace evenfeed {

/// The whole page. Everything that came from the store is escaped.
std::string wear_page(const WearResult& result);

}  // namespace evenfeed
