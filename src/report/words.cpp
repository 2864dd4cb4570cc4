// SPDX-License-Identifier: MIT
#include "report/words.h"

#include "base/counted.h"
#include "base/csv.h"
#include "quality/words.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <map>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

// Its spread stands among the reasons: there about the trend of the feeds that
// were judged, a little other than here.
bool holds_back(const ReportInput& input, const Evenness& one) {
  const std::string words =
      "the spread of " + characteristic_words(one.characteristic);
  return std::any_of(
      input.holding_back.begin(),
      input.holding_back.end(),
      [&](const std::string& reason) { return reason.starts_with(words); });
}

// " It scatters by 23.1 mm in landing along the table (70.0 mm allowed), ..."
std::string evenness_sentence(const ReportInput& input) {
  std::vector<std::string> parts;
  bool limited = false;
  for (const Evenness& one : input.evenness) {
    if (!std::isfinite(one.sd) || holds_back(input, one)) continue;
    const auto id = find_characteristic(one.characteristic);
    const bool known = std::isfinite(one.allowed);
    limited |= known;
    parts.push_back(fmt::format(
        "{} in {}{}",
        characteristic_value(one.characteristic, one.sd),
        id ? info(*id).words : std::string_view(one.characteristic),
        known
            ? fmt::format(" ({} allowed)",
                          characteristic_value(one.characteristic, one.allowed))
            : ""));
  }
  if (parts.empty()) return "";
  return fmt::format(" Feeds scatter (sd) by {}.{}",
                     fmt::join(parts, ", "),
                     limited ? ""
                             : " Nothing was asked of the spread: ready means "
                               "steady, not even.");
}

VerdictSentence ready_sentence(const ReportInput& input, int total) {
  const int keep = count_verdict(input, "keep");
  const int review = count_verdict(input, "review");
  VerdictSentence sentence;
  sentence.headline = "Ready.";
  sentence.mood = Mood::kGood;
  if (input.stable_from_feed > 0 && input.ready_at_feed > 0) {
    sentence.detail = fmt::format(
        "Steady since feed {}, and sure of it at "
        "feed {}. ",
        input.stable_from_feed,
        input.ready_at_feed);
  }
  sentence.detail +=
      fmt::format("{} of {} may be used.", keep, counted(total, "feed"));
  const int change = first_change(input.signals, input.ready_at_feed);
  if (review > 0 && change > 0) {
    sentence.mood = Mood::kCaution;
    sentence.headline =
        fmt::format("Ready, but something changed about feed {}.", change);
  }
  if (review > 0) {
    sentence.detail +=
        fmt::format(" {} under review: look at the reasons before you use {}.",
                    review == 1 ? "1 is" : fmt::format("{} are", review),
                    review == 1 ? "it" : "them");
  }
  sentence.detail += evenness_sentence(input);
  return sentence;
}

}  // namespace

std::string as_sentence(std::string text) {
  if (text.empty()) return text;
  text[0] =
      static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  if (text.back() != '.') text += '.';
  return text;
}

int count_verdict(const ReportInput& input, std::string_view verdict) {
  return static_cast<int>(std::count_if(
      input.feeds.begin(), input.feeds.end(), [&](const JudgedFeed& one) {
        return one.verdict == verdict;
      }));
}

VerdictSentence verdict_sentence(const ReportInput& input) {
  const int total = static_cast<int>(input.feeds.size());
  if (total == 0) {
    return {Mood::kBad,
            "No feed was found.",
            "There is nothing to judge. Check that the film shows the "
            "launcher feeding the table."};
  }
  if (!input.judged) {
    return {Mood::kCaution,
            fmt::format("{} measured, not judged.", counted(total, "feed")),
            "Run 'evenfeed qualify' or 'evenfeed session' for a verdict."};
  }
  if (input.ready) return ready_sentence(input, total);
  VerdictSentence sentence;
  sentence.mood = input.too_few ? Mood::kCaution : Mood::kBad;
  if (input.too_few) {
    sentence.headline = "Not known yet.";
  } else if (input.ready_at_feed > 0) {
    sentence.headline =
        fmt::format("No longer ready: it was at feed {} and changed since.",
                    input.ready_at_feed);
    sentence.detail = fmt::format("{} of {} may be used all the same.",
                                  count_verdict(input, "keep"),
                                  counted(total, "feed"));
  } else {
    sentence.headline = "Not ready.";
    sentence.detail = fmt::format(
        "After {} the launcher is not steady and even enough to compare "
        "rubbers with.",
        counted(total, "feed"));
  }
  for (const std::string& reason : input.holding_back) {
    sentence.detail +=
        (sentence.detail.empty() ? "" : " ") + as_sentence(reason);
  }
  sentence.detail += evenness_sentence(input);
  return sentence;
}

std::string spread_words(const ReportInput& input) {
  std::map<std::string, double> sds = input.baseline.sd;
  for (const Evenness& one : input.evenness) sds[one.characteristic] = one.sd;
  std::vector<std::string> parts;
  for (const char* column : {"x_mm", "y_mm", "speed_in_mps", "descent_deg"}) {
    const auto sd = sds.find(column);
    if (sd == sds.end() || !std::isfinite(sd->second)) continue;
    parts.push_back(fmt::format("{} {}",
                                characteristic_words(column),
                                characteristic_value(column, sd->second)));
  }
  return fmt::format("{}", fmt::join(parts, ", "));
}

std::string characteristic_heading(const std::string& column) {
  const auto id = find_characteristic(column);
  if (!id) return column;
  const CharacteristicInfo& found = info(*id);
  return found.unit.empty() ? std::string(found.words)
                            : fmt::format("{} ({})", found.words, found.unit);
}

std::string chart_words(const std::string& kind) {
  if (kind == "individuals" || kind == "t2") return "single feeds";
  if (kind == "ewma" || kind == "mewma") return "lasting changes";
  if (kind == "moving_range") return "from one feed to the next";
  if (kind == "spread") return "how far feeds scatter";
  return kind;
}

std::string chart_name(const std::string& kind) {
  if (kind == "ewma") return "EWMA";
  if (kind == "t2") return "T²";
  if (kind == "mewma") return "MEWMA";
  if (kind == "moving_range") return "moving range";
  return kind;
}

std::string signal_sentence(const Signal& signal) {
  std::string text =
      fmt::format("Feed {}: {}", signal.feed, chart_name(signal.chart));
  if (std::isfinite(signal.value)) {
    text += fmt::format(" {}", csv_number(signal.value, 2));
  }
  if (std::isfinite(signal.limit)) {
    text += fmt::format(", limit {}", csv_number(signal.limit, 2));
  }
  if (!signal.characteristic.empty()) {
    text += ", mostly by " + characteristic_heading(signal.characteristic);
  }
  // A single feed that is off is no change that began.
  if (signal.changed_at_feed > 0 &&
      (signal.changed_at_feed != signal.feed ||
       signal.interval_first != signal.interval_last)) {
    text += fmt::format("; the change probably began at feed {}",
                        signal.changed_at_feed);
  }
  if (signal.interval_first > 0 &&
      signal.interval_last > signal.interval_first) {
    text += fmt::format(
        " (90 %: {} to {})", signal.interval_first, signal.interval_last);
  }
  return text + ".";
}

std::string gauge_words(double ratio) {
  if (!std::isfinite(ratio)) return "not known";
  if (ratio < 0.1) return "fine";
  if (ratio < 0.3) return "usable";
  return "too coarse: much of this spread is the measurement's";
}

}  // namespace evenfeed
