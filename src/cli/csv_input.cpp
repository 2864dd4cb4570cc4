// SPDX-License-Identifier: MIT
#include "cli/csv_input.h"

#include "base/error.h"
#include "cli/job_files.h"

#include <iostream>
#include <iterator>

namespace evenfeed {

CsvTable read_csv_input(const std::string& file) {
  if (!is_standard_stream(file)) return CsvTable::read(file);
  return CsvTable::parse(std::string(std::istreambuf_iterator<char>(std::cin),
                                     std::istreambuf_iterator<char>()),
                         "standard input");
}

}  // namespace evenfeed
