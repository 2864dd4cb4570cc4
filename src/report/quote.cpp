// SPDX-License-Identifier: MIT
#include "report/quote.h"

#include "base/counted.h"
#include "base/date_time.h"
#include "base/version.h"
#include "pairing/words.h"
#include "report/html.h"
#include "report/provenance_section.h"
#include "report/returns_section.h"
#include "report/words.h"

#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

std::string readiness(const ReportInput& input) {
  if (!input.judged)
    return counted(std::ssize(input.feeds), "feed") + ", not judged";
  return fmt::format("{}; {} of {} may be used",
                     input.ready     ? "ready"
                     : input.too_few ? "not known yet whether ready"
                                     : "not ready",
                     count_verdict(input, "keep"),
                     counted(std::ssize(input.feeds), "feed"));
}

// "K: launcher bench-A, filmed 2026-03-14"
std::string source_words(const PairInput& input, std::size_t sample) {
  const PairSource* source = input.source_of(static_cast<int>(sample));
  if (source == nullptr) return {};
  const SessionHead& head = source->provenance.head;
  std::vector<std::string> parts;
  if (!head.launcher.empty()) parts.push_back("launcher " + head.launcher);
  if (head.started_at > 0)
    parts.push_back("filmed " + date_text(head.started_at));
  if (!head.program_version.empty()) {
    parts.push_back("measured with evenfeed " + head.program_version);
  }
  if (parts.empty()) return {};
  return fmt::format(
      "{}: {}", input.comparison.samples[sample].name, fmt::join(parts, ", "));
}

}  // namespace

std::string report_quote(const ReportInput& input) {
  std::string text = provenance_words(input);
  text.back() = ':';  // it ends in a full stop
  text += " " + readiness(input) + ".";
  const std::string spread = spread_words(input);
  if (!spread.empty()) {
    text += fmt::format(" Spread from feed to feed (sd): {}.", spread);
  }
  const std::string returned = returns_words(input);
  if (!returned.empty()) {
    text +=
        fmt::format(" What came back (mean, 95 % interval, sd): {}.", returned);
  }
  return text;
}

std::string pair_quote(const PairInput& input) {
  const Comparison& comparison = input.comparison;
  std::string text;
  for (const Effect& effect : comparison.effects) {
    text += effect_sentence(comparison, effect) + " ";
  }
  text += matching_sentence(comparison);
  std::vector<std::string> sources;
  for (std::size_t s = 0; s < comparison.samples.size(); ++s) {
    std::string words = source_words(input, s);
    if (!words.empty()) sources.push_back(std::move(words));
  }
  if (!sources.empty()) text += fmt::format(" {}.", fmt::join(sources, "; "));
  return text + fmt::format(" Compared with evenfeed {}.", program_version());
}

std::string wear_quote(const WearResult& result) {
  const WearHistory& history = result.history;
  std::string text =
      fmt::format("Launcher {}, {}",
                  history.launcher,
                  counted(std::ssize(history.sessions), "session"));
  if (!history.sessions.empty()) {
    text += fmt::format(" from {} to {}",
                        date_text(history.sessions.front().started_at),
                        date_text(history.sessions.back().started_at));
  }
  text += fmt::format(", {}: {}",
                      counted(std::llround(history.feeds), "feed"),
                      result.headline());
  for (const MeasureWear& one : result.measures) {
    const bool first = one.id == Measure::kSpeed && one.trend.ok;
    if (one.alarm() || (first && !result.alarm()))
      text += " " + as_sentence(one.sentence);
  }
  return text + fmt::format(" Judged with evenfeed {}.", program_version());
}

std::string quote_section(const std::string& quote) {
  return fmt::format(
      "<section><h2>To quote this</h2>\n<p class=\"quote\">{}</p></section>\n",
      escape_html(quote));
}

}  // namespace evenfeed
