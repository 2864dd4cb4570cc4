// SPDX-License-Identifier: MIT
#include "session/sample_sheet.h"

#include "base/error.h"

#include <fmt/format.h>

namespace evenfeed {

const DeclaredSample* SampleSheet::find(const std::string& name) const {
  for (const DeclaredSample& sample : samples) {
    if (sample.name == name) return &sample;
  }
  return nullptr;
}

SampleSheet read_sample_sheet(const CsvTable& table) {
  const std::size_t name = table.require_column("sample");
  const auto kind = table.column("kind");
  SampleSheet sheet;
  std::vector<std::size_t> columns;
  for (std::size_t c = 0; c < table.header().size(); ++c) {
    if (c == name || c == kind) continue;
    columns.push_back(c);
    sheet.properties.push_back(table.header()[c]);
  }
  for (std::size_t r = 0; r < table.rows(); ++r) {
    DeclaredSample sample;
    sample.name = table.text(r, name);
    if (sample.name.empty()) {
      throw InputError(table.place(r, name),
                       "the sample has no name",
                       "Give every sample a name of its own");
    }
    if (sheet.find(sample.name) != nullptr) {
      throw InputError(table.place(r, name),
                       fmt::format("'{}' stands twice", sample.name),
                       "Give every sample a name of its own");
    }
    if (kind) sample.kind = table.text(r, *kind);
    for (const std::size_t c : columns) {
      sample.values.push_back(table.text(r, c));
    }
    sheet.samples.push_back(std::move(sample));
  }
  return sheet;
}

}  // namespace evenfeed
