// SPDX-License-Identifier: MIT
// What a report shows, as plain structs, and how it is read from a session
// folder. What a folder does not hold stays empty; the page then says less.
#pragma once

#include "flight/feed.h"
#include "flight/flown_feed.h"
#include "geometry/bench.h"
#include "geometry/landing_zone.h"
#include "geometry/surface.h"
#include "quality/qualification.h"
#include "session/provenance.h"

#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace evenfeed {

/// A feed and what was decided about it.
struct JudgedFeed {
  Feed feed;
  std::string phase;    ///< warm-up, baseline, monitor; empty: not judged
  std::string verdict;  ///< keep, review, discard; empty: not judged
  std::vector<std::string> reasons;
};

/// How much of the observed spread the measurement itself makes.
struct ReportGauge {
  std::string characteristic;
  Gauge gauge;
};

/// The stable process as the judging estimated it.
struct ReportBaseline {
  int n = 0;
  bool provisional = false;  ///< of all feeds: there was no stable stretch
  std::map<std::string, double> mean;  ///< by column name
  std::map<std::string, double> sd;
  /// By pair of column names, in either order.
  std::map<std::pair<std::string, std::string>, double> correlation;
};

struct ReportInput {
  std::string title = "session";
  Provenance provenance;  ///< the caller's to add; what is not known is empty
  std::optional<Surface> surface;  ///< nullopt: only the landings are drawn
  std::optional<LandingZone> landing_zone;
  std::optional<Bench> bench;
  std::vector<JudgedFeed> feeds;
  std::vector<FlownFeed> flights;  ///< as they were fitted; may be none
  /// What is uncertain in all feeds alike, standard uncertainties by column.
  std::map<std::string, double> alike;
  bool judged = false;  ///< tagged.csv and summary.json were there
  bool ready = false;
  bool too_few = false;  ///< too few feeds to tell
  std::vector<Evenness> evenness;
  int ready_at_feed = 0;     ///< 0 when never
  int stable_from_feed = 0;  ///< 0 when never
  ReportBaseline baseline;
  std::vector<std::string> holding_back;  ///< why not ready, plain words
  std::vector<Signal> signals;
  std::vector<ReportGauge> gauges;
  std::vector<ChartSeries> charts;
  std::vector<std::string> warnings;
  std::string sound;  ///< what the film's sound did, in words; empty: nothing
  std::map<int, std::string> pictures;  ///< JPEG files, by feed number
  /// Kept feeds whose pictures would make the page too large to open at once.
  int pictures_left_out = 0;
  bool of_store = false;  ///< beside the page lies an index, not its numbers
};

/// Reads bench.toml, tagged.csv (or feeds.csv when nothing was judged),
/// summary.json, flights.csv and the feeds' pictures of `folder`; the surface
/// and the landing zone are the caller's to add, from a profile. Throws
/// InputError when there is neither tagged.csv nor feeds.csv, and for any file
/// that cannot be read as what it claims to be.
ReportInput load_report_input(const std::filesystem::path& folder);

/// Kept, or nothing was judged.
[[nodiscard]] bool may_be_used(const ReportInput& input, const JudgedFeed& one);

/// The same of a session as it is kept: without charts and pictures, which are
/// not filed. `name` is for messages. Its provenance is there.
[[nodiscard]] ReportInput report_input_of(const SessionRecord& record,
                                          const std::string& name);

}  // namespace evenfeed
