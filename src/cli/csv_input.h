// SPDX-License-Identifier: MIT
// Tables that a command is given: files, or "-" for standard input.
#pragma once

#include "base/csv.h"

#include <string>

namespace evenfeed {

/// Standard input is read to its end, and is there to be read once.
[[nodiscard]] CsvTable read_csv_input(const std::string& file);

}  // namespace evenfeed
