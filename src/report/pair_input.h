// SPDX-License-Identifier: MIT
// What the page of a comparison shows, as plain structs. What is not known
// stays empty; the page then says less.
#pragma once

#include "flight/flown_feed.h"
#include "geometry/surface.h"
#include "pairing/comparison.h"
#include "session/provenance.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

/// Where the feeds of a sample come from.
struct PairSource {
  Provenance provenance;
  std::vector<FlownFeed> flights;
};

struct PairInput {
  Comparison comparison;
  /// One for each sample, or one that all of them come from, or none.
  std::vector<PairSource> sources = {};
  std::optional<SampleSheet> declared = {};  ///< of the samples
  std::string profile_name = {};             ///< whose calipers were used
  std::optional<Surface> surface = {};       ///< to draw flights over

  /// nullptr: nothing is known of where it comes from.
  [[nodiscard]] const PairSource* source_of(int sample) const;
};

/// What lies beside a feeds file that 'session' or 'measure' wrote: tagged.csv
/// or feeds.csv of a session folder. Nothing is known of any other file.
[[nodiscard]] PairSource load_pair_source(const std::filesystem::path& feeds);

}  // namespace evenfeed
