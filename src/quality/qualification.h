// SPDX-License-Identifier: MIT
// What was decided about a trial: is the launcher ready, what belongs to the
// stable process, when did it change, and a verdict with reasons per feed.
#pragma once

#include "quality/ball_effect.h"
#include "quality/baseline.h"
#include "quality/options.h"
#include "quality/trial_table.h"
#include "session/sound_told.h"

#include <limits>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace evenfeed {

enum class Phase { kWarmUp, kBaseline, kMonitor };
enum class Verdict { kKeep, kReview, kDiscard };

std::string_view phase_name(Phase phase);        ///< as in tagged.csv
std::string_view verdict_name(Verdict verdict);  ///< as in tagged.csv

inline constexpr double kNotKnown = std::numeric_limits<double>::quiet_NaN();

/// One row of tagged.csv, beyond what was in the feeds file.
struct FeedTag {
  int feed = 0;
  Phase phase = Phase::kWarmUp;
  Verdict verdict = Verdict::kReview;
  std::vector<std::string> reasons;  ///< plain words; empty for a plain keep
  double t2 = kNotKnown;
  double t2_limit = kNotKnown;
  double mewma = kNotKnown;
  double mewma_limit = kNotKnown;
  std::vector<double> z;  ///< per characteristic, in baseline sd
};

/// One cause, found once, by the chart that saw it.
struct Signal {
  int feed = 0;                ///< the feed at which the chart signalled
  std::string chart;           ///< t2, individuals, mewma, ewma, spread
  std::string characteristic;  ///< the part that explains it best
  double value = kNotKnown;    ///< of the chart, not of the characteristic
  double limit = kNotKnown;
  int changed_at_feed = 0;  ///< estimated first feed of the change
  int interval_first = 0;   ///< 90 % interval of changed_at_feed
  int interval_last = 0;
  bool misfeed = false;  ///< one feed that was off: nothing changed
};

/// A chart as it is drawn; a point per feed it was fed with.
struct ChartSeries {
  std::string chart;           ///< individuals, moving_range, ewma, t2, ...
  std::string characteristic;  ///< empty for the joint charts
  double centre = kNotKnown;
  double lambda = kNotKnown;  ///< only ewma, mewma, spread
  std::vector<int> feeds;
  std::vector<double> values;
  std::vector<double> lower;  ///< NaN where there is none
  std::vector<double> upper;
};

/// How much of a characteristic's spread is the measurement's.
struct Gauge {
  double measurement_sd = kNotKnown;  ///< median of the standard uncertainties
  double observed_sd = kNotKnown;
  double launcher_sd = kNotKnown;  ///< what remains; 0 when nothing does
  double ratio = kNotKnown;        ///< measurement / observed
};

/// How evenly the launcher feeds, and how evenly it has to.
struct Evenness {
  std::string characteristic;
  double sd = kNotKnown;   ///< as measured
  double low = kNotKnown;  ///< 95 % interval
  double high = kNotKnown;
  double allowed = kNotKnown;  ///< NaN: no limit was asked for
};

/// How a characteristic came to rest, or is about to.
struct SettlingTime {
  std::string characteristic;
  double tau_feeds = kNotKnown;  ///< to 37 % of what was left
  double amplitude = kNotKnown;  ///< how far off the first feed was
};

struct Qualification {
  std::vector<std::string> characteristics;
  int feeds = 0;
  bool ready = false;    ///< at the last feed: stable, even, in control since
  bool too_few = false;  ///< not known yet: fewer feeds than it takes to tell
  std::optional<int> ready_at_feed;
  std::optional<int> stable_from_feed;
  std::vector<std::string> holding_back;  ///< plain words; empty when ready
  int more_feeds = 0;  ///< about so many until it may be; 0: no telling
  Baseline baseline;
  bool baseline_given = false;        ///< came from a file
  bool baseline_provisional = false;  ///< never ready: of all feeds, for z only
  std::vector<FeedTag> tags;
  std::vector<Signal> signals;
  std::vector<Gauge> gauge;        ///< per characteristic
  std::vector<Evenness> evenness;  ///< per characteristic; no baseline: none
  std::vector<SettlingTime> settling;  ///< where a curve is certain
  std::vector<BallEffect> balls;       ///< when the feeds name their balls
  std::vector<ChartSeries> charts;
  std::vector<std::string> warnings;
  std::optional<SoundTold> sound;  ///< of a film that was listened to

  int count(Verdict verdict) const;
};

/// The feed about which something changed first after `ready_at_feed` (0: from
/// the start), as the charts date it; 0 when nothing did. Mis-feeds are no
/// change.
[[nodiscard]] int first_change(const std::vector<Signal>& signals,
                               int ready_at_feed);

/// Judges a whole trial. The same as feeding a Qualifier (qualifier.h) row by
/// row. With a given baseline there is no phase I: every feed is monitored.
Qualification qualify(const TrialTable& table,
                      const QualityOptions& options,
                      const std::optional<Baseline>& given = std::nullopt);

/// The text of tagged.csv: the columns of `feeds` exactly as they were, then
/// phase, verdict, reasons, t2, t2_limit, mewma, mewma_limit and z_<name>.
/// Columns of these names already in `feeds` are replaced.
std::string tagged_text(const CsvTable& feeds, const Qualification& result);

}  // namespace evenfeed
