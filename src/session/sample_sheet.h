// SPDX-License-Identifier: MIT
// What is declared about the samples: a CSV with a column `sample`, perhaps
// `kind` (of which several sheets may exist), and a column per property. An
// empty field means "not known".
#pragma once

#include "base/csv.h"

#include <string>
#include <vector>

namespace evenfeed {

struct DeclaredSample {
  std::string name;
  std::string kind;                 ///< empty: not declared
  std::vector<std::string> values;  ///< one per property
};

struct SampleSheet {
  std::vector<std::string> properties;  ///< without sample and kind
  std::vector<DeclaredSample> samples;

  const DeclaredSample* find(const std::string& name) const;
};

/// Throws InputError: no column `sample`, an empty or repeated name.
SampleSheet read_sample_sheet(const CsvTable& table);

}  // namespace evenfeed
