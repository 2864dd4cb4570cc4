// SPDX-License-Identifier: MIT
// What the tester says at the bench: which sample is clamped now, which ball,
// a note, that the last feed does not count. Said at a time, so it belongs to
// feeds by when they flew, whatever number they get in the end.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

enum class LogWord {
  kSample,   ///< from now on
  kBall,     ///< from now on
  kNote,     ///< on the last feed
  kExclude,  ///< the last feed does not count
  kStep,     ///< of an order sheet, from now on; its sample, or none
};

struct LogEntry {
  LogWord word = LogWord::kNote;
  double t_s = 0;  ///< of the film: from then on, or the feed that flew then
  std::string text;
};

/// What stands about one feed.
struct FeedLog {
  std::string sample;
  std::string ball;
  std::string note;
  bool excluded = false;
};

class TrialLog {
 public:
  static constexpr std::size_t kLongest = 200;  ///< bytes of a text

  /// "sample", "ball", "note", "exclude", "step"; nullopt for another word.
  static std::optional<LogWord> find_word(const std::string& name);
  /// Why a text cannot be taken; empty if it can. A name that a spreadsheet
  /// would take for a formula, control characters, too long.
  static std::string why_not(LogWord word, const std::string& text);

  void add(LogEntry entry);
  /// Takes the last entry away; false when there is none.
  bool undo();
  /// Of the feed that flew from first_s to last_s.
  [[nodiscard]] FeedLog of(double first_s, double last_s) const;
  /// What is clamped at the end; empty: nothing, or nobody said.
  [[nodiscard]] std::string sample_now() const;
  [[nodiscard]] bool empty() const { return entries_.empty(); }
  [[nodiscard]] const std::vector<LogEntry>& entries() const {
    return entries_;
  }

 private:
  std::vector<LogEntry> entries_;
};

}  // namespace evenfeed
