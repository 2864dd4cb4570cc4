// SPDX-License-Identifier: MIT
#include "quality/qualification.h"

#include "base/check.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

// Our columns replace those of an earlier run over the same feeds.
bool is_ours(const std::string& name,
             const std::vector<std::string>& characteristics) {
  static const std::vector<std::string> kNames{
      "phase", "verdict", "reasons", "t2", "t2_limit", "mewma", "mewma_limit"};
  if (std::find(kNames.begin(), kNames.end(), name) != kNames.end()) {
    return true;
  }
  return std::any_of(
      characteristics.begin(),
      characteristics.end(),
      [&](const std::string& one) { return name == "z_" + one; });
}

// Separated by ';', which therefore becomes ',' inside a reason.
std::string joined(std::vector<std::string> reasons) {
  for (std::string& one : reasons)
    std::replace(one.begin(), one.end(), ';', ',');
  return fmt::format("{}", fmt::join(reasons, "; "));
}

std::vector<std::size_t> kept_columns(const CsvTable& feeds,
                                      const std::vector<std::string>& judged) {
  std::vector<std::size_t> kept;
  for (std::size_t c = 0; c < feeds.header().size(); ++c) {
    if (!is_ours(feeds.header()[c], judged)) kept.push_back(c);
  }
  return kept;
}

}  // namespace

int first_change(const std::vector<Signal>& signals, int ready_at_feed) {
  int first = 0;
  for (const Signal& signal : signals) {
    if (signal.misfeed) continue;
    const int at =
        signal.changed_at_feed > 0 ? signal.changed_at_feed : signal.feed;
    if (at > ready_at_feed && (first == 0 || at < first)) first = at;
  }
  return first;
}

std::string_view phase_name(Phase phase) {
  switch (phase) {
    case Phase::kWarmUp:
      return "warm-up";
    case Phase::kBaseline:
      return "baseline";
    case Phase::kMonitor:
      return "monitor";
  }
  return "";
}

std::string_view verdict_name(Verdict verdict) {
  switch (verdict) {
    case Verdict::kKeep:
      return "keep";
    case Verdict::kReview:
      return "review";
    case Verdict::kDiscard:
      return "discard";
  }
  return "";
}

int Qualification::count(Verdict verdict) const {
  return static_cast<int>(
      std::count_if(tags.begin(), tags.end(), [&](const FeedTag& tag) {
        return tag.verdict == verdict;
      }));
}

std::string tagged_text(const CsvTable& feeds, const Qualification& result) {
  require(feeds.rows() == result.tags.size(),
          "the tags are not those of these feeds");
  const std::vector<std::size_t> kept =
      kept_columns(feeds, result.characteristics);
  std::vector<std::string> header;
  for (const std::size_t c : kept) header.push_back(feeds.header()[c]);
  for (const char* name : {"phase",
                           "verdict",
                           "reasons",
                           "t2",
                           "t2_limit",
                           "mewma",
                           "mewma_limit"}) {
    header.emplace_back(name);
  }
  for (const std::string& name : result.characteristics) {
    header.push_back("z_" + name);
  }
  CsvWriter out(header);
  for (std::size_t r = 0; r < feeds.rows(); ++r) {
    const FeedTag& tag = result.tags[r];
    std::vector<std::string> row;
    for (const std::size_t c : kept) row.push_back(feeds.text(r, c));
    row.emplace_back(phase_name(tag.phase));
    row.emplace_back(verdict_name(tag.verdict));
    row.push_back(joined(tag.reasons));
    for (const double value :
         {tag.t2, tag.t2_limit, tag.mewma, tag.mewma_limit}) {
      row.push_back(csv_number(value, 3));
    }
    for (const double z : tag.z) row.push_back(csv_number(z, 3));
    out.add_row(row);
  }
  return out.text();
}

}  // namespace evenfeed
