// SPDX-License-Identifier: MIT
// The report's sentences: plain words for what was decided.
#pragma once

#include "report/report_input.h"

#include <string>
#include <string_view>

namespace evenfeed {

enum class Mood { kGood, kCaution, kBad };

/// The page's first line.
struct VerdictSentence {
  Mood mood = Mood::kCaution;
  std::string headline;  ///< "Ready."
  std::string detail;    ///< what that means for the feeds
};
VerdictSentence verdict_sentence(const ReportInput& input);

/// "landing along the table 23.1 mm, ...": how far feeds scatter (sd) in what
/// a tester quotes, as it was judged, else of the baseline; empty when neither
/// is known.
[[nodiscard]] std::string spread_words(const ReportInput& input);

/// "drift of x" -> "Drift of x."
[[nodiscard]] std::string as_sentence(std::string text);

/// How many feeds got `verdict` (empty: how many got none).
int count_verdict(const ReportInput& input, std::string_view verdict);

/// "landing along the table (mm)" for a column of feeds.csv; the column's own
/// name for any other.
std::string characteristic_heading(const std::string& column);

/// What a chart watches, for people: "single feeds", "lasting changes", ... for
/// what summary.json calls the chart.
std::string chart_words(const std::string& kind);

/// Its name among statisticians: "individuals", "EWMA", "T²", "moving range".
std::string chart_name(const std::string& kind);

/// One sentence for a signal.
std::string signal_sentence(const Signal& signal);

/// What a gauge ratio means: below 0.1 fine, below 0.3 usable, else too coarse
/// (the 10/30 % rule of gauge studies).
std::string gauge_words(double ratio);

}  // namespace evenfeed
