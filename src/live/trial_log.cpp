// SPDX-License-Identifier: MIT
#include "live/trial_log.h"

#include "base/printable.h"

#include <algorithm>
#include <string_view>
#include <utility>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// A feed is known again by its time, to within this.
constexpr double kAround_s = 0.3;

}  // namespace

std::optional<LogWord> TrialLog::find_word(const std::string& name) {
  if (name == "sample") return LogWord::kSample;
  if (name == "ball") return LogWord::kBall;
  if (name == "note") return LogWord::kNote;
  if (name == "exclude") return LogWord::kExclude;
  if (name == "step") return LogWord::kStep;
  return std::nullopt;
}

std::string TrialLog::why_not(LogWord word, const std::string& text) {
  const bool may_be_empty = word == LogWord::kExclude || word == LogWord::kStep;
  if (text.empty() && !may_be_empty) return "there is no text";
  if (text.size() > kLongest) {
    return fmt::format("the text is longer than {} bytes", kLongest);
  }
  if (printable(text) != text) return "control characters, or no UTF-8";
  if (!text.empty() &&
      std::string_view("=+-@").find(text[0]) != std::string_view::npos) {
    return "a name may not begin with = + - or @";
  }
  return "";
}

void TrialLog::add(LogEntry entry) { entries_.push_back(std::move(entry)); }

bool TrialLog::undo() {
  if (entries_.empty()) return false;
  entries_.pop_back();
  return true;
}

FeedLog TrialLog::of(double first_s, double last_s) const {
  FeedLog log;
  for (const LogEntry& entry : entries_) {
    const bool here =
        entry.t_s >= first_s - kAround_s && entry.t_s <= last_s + kAround_s;
    switch (entry.word) {
      case LogWord::kSample:
      case LogWord::kStep:
        if (entry.t_s <= first_s) log.sample = entry.text;
        break;
      case LogWord::kBall:
        if (entry.t_s <= first_s) log.ball = entry.text;
        break;
      case LogWord::kNote:
        if (!here) break;
        if (!log.note.empty()) log.note += "; ";
        log.note += entry.text;
        break;
      case LogWord::kExclude:
        log.excluded |= here;
        break;
    }
  }
  return log;
}

std::string TrialLog::sample_now() const {
  const auto last = std::find_if(
      entries_.rbegin(), entries_.rend(), [](const LogEntry& entry) {
        return entry.word == LogWord::kSample || entry.word == LogWord::kStep;
      });
  return last == entries_.rend() ? "" : last->text;
}

}  // namespace evenfeed
