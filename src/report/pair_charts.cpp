// SPDX-License-Identifier: MIT
#include "report/pair_charts.h"

#include "base/as_index.h"
#include "base/printable.h"
#include "pairing/words.h"
#include "quality/words.h"
#include "report/plot_frame.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <set>
#include <vector>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr double kRowLeft = 14, kRowRight = 466, kRowBottom = 50;
constexpr double kRow = 50;  // a name, and below it what is drawn
constexpr double kHead = 26;
constexpr double kRowMark = 5;
constexpr double kRowLetter = 15 / kChartWidth;

// A field with a row per thing, the first one on top: y is the row's number.
struct Rows {
  SvgCanvas canvas;
  PlotFrame frame;
  double top;
  std::size_t count;

  Rows(std::size_t rows, const Span& x)
      : canvas({{0, 0},
                {kChartWidth,
                 kRowBottom + kRow * static_cast<double>(rows) + kHead}},
               kChartWidth),
        frame(x.widened(0.06),
              {0, static_cast<double>(rows)},
              {kRowLeft, kRowBottom},
              {kRowRight, kRowBottom + kRow * static_cast<double>(rows)}),
        top(kRowBottom + kRow * static_cast<double>(rows)),
        count(rows) {}

  double y(std::size_t row) const {
    return top - kRow * (static_cast<double>(row) + 0.68);
  }
  Eigen::Vector2d at(double x, std::size_t row) const {
    return {frame.at(x, 0).x(), y(row)};
  }
  void name(std::size_t row, std::string_view words) {
    canvas.label({kRowLeft, y(row) + 17}, words, "name", "start");
  }
  // Beside what is drawn, not through the rows' names.
  void upright(double x, std::string_view style_class) {
    for (std::size_t row = 0; row < count; ++row) {
      const double place = at(x, row).x();
      canvas.line({place, y(row) - 0.3 * kRow},
                  {place, y(row) + 0.22 * kRow},
                  style_class);
    }
  }
  // What lies to the left and to the right of 0.
  void sides(const std::string& less, const std::string& more) {
    canvas.label({kRowLeft, top + 9}, less, "note", "start");
    canvas.label({kRowRight, top + 9}, more, "note", "end");
  }
};

const std::string& name_of(const Comparison& comparison, int sample) {
  return comparison.samples[as_index(sample)].name;
}

// A name of any length as it fits into a drawing; titles have the whole of it.
std::string drawn(const std::string& name) {
  constexpr std::size_t kMost = 24;
  return shortened(name, kMost);
}

std::string title_of(const Comparison& comparison, const Effect& effect) {
  return fmt::format("{}: {} and {}",
                     outcome_words(effect.outcome),
                     name_of(comparison, effect.a),
                     name_of(comparison, effect.b));
}

// In the unit of the words: shares as percentage points.
double shown(const Effect& effect, double value) {
  return effect.kind == OutcomeKind::kYesNo ? 100 * value : value;
}

std::string unit_words(const Effect& effect) {
  return effect.kind == OutcomeKind::kYesNo
             ? "percentage points"
             : std::string(characteristic_unit(effect.outcome));
}

std::string axis_name(const Effect& effect) {
  const std::string unit = unit_words(effect);
  return unit.empty()
             ? outcome_words(effect.outcome)
             : fmt::format("{}, {}", outcome_words(effect.outcome), unit);
}

struct Line {
  const char* words;
  double value;
  Interval interval;  // of length 0: there is none
};

std::vector<Line> lines_of(const Effect& effect) {
  std::vector<Line> lines;
  const auto add =
      [&](const char* words, double value, const Interval& interval) {
        if (!std::isfinite(value) || !std::isfinite(interval.low)) return;
        lines.push_back({words, value, interval});
      };
  add("matched feeds", effect.matched.value, effect.matched.interval);
  add("all, corrected", effect.all_feeds.value, effect.all_feeds.interval);
  // No interval: it is no estimate at the same feed.
  add("all, as they came", effect.raw, {effect.raw, effect.raw});
  return lines;
}

// "0.310 (0.239 to 0.381) m/s": a row has room for one unit.
std::string line_words(const Effect& effect, const Line& line) {
  const std::string unit = unit_words(effect);
  const auto number = [&](double value) {
    std::string words = difference_words(effect, value);
    if (!unit.empty() && words.ends_with(" " + unit)) {
      words.resize(words.size() - unit.size() - 1);
    }
    return words;
  };
  std::string words = fmt::format("{}: {}", line.words, number(line.value));
  if (line.interval.high > line.interval.low) {
    words += fmt::format(
        " ({} to {})", number(line.interval.low), number(line.interval.high));
  }
  return unit.empty() ? words : words + " " + unit;
}

const Outcome* find_outcome(const Comparison& comparison,
                            const std::string& name) {
  for (const Outcome& one : comparison.outcomes) {
    if (one.name == name) return &one;
  }
  return nullptr;
}

// Points of one value would hide each other: they are spread over the row, in
// turn, which means nothing.
double aside(int feed) { return 4.5 * (feed % 5 - 2); }

void draw_trials(const Comparison& comparison,
                 const Effect& effect,
                 const Outcome& outcome,
                 int sample,
                 std::size_t row,
                 Rows& rows) {
  const std::set<int> matched = matched_feeds(comparison, sample);
  const Eigen::VectorXd& values = outcome.values[as_index(sample)];
  double sum = 0;
  int known = 0;
  for (int i = 0; i < values.size(); ++i) {
    if (!std::isfinite(values[i])) continue;
    const bool in_set = matched.contains(i);
    const int feed = comparison.samples[as_index(sample)].feeds[as_index(i)];
    const Eigen::Vector2d at = rows.at(values[i], row);
    rows.canvas.mark(
        row == 0 ? Mark::kCircle : Mark::kTriangle,
        {at.x(), at.y() + aside(feed)},
        kRowMark,
        fmt::format(
            "{}{}", in_set ? "point " : "alone ", row == 0 ? "keep" : "review"),
        fmt::format("{}, feed {}: {}{}",
                    name_of(comparison, sample),
                    feed,
                    characteristic_value(effect.outcome, values[i]),
                    in_set ? "" : ", without a partner"));
    if (!in_set) continue;
    sum += values[i];
    ++known;
  }
  std::string words = drawn(name_of(comparison, sample));
  if (known > 0) {
    const Eigen::Vector2d mean = rows.at(sum / known, row);
    rows.canvas.line(
        {mean.x(), mean.y() - 12}, {mean.x(), mean.y() + 12}, "mean");
    words += fmt::format(": {} in the mean of its pairs",
                         characteristic_value(effect.outcome, sum / known));
  }
  rows.name(row, words);
}

}  // namespace

std::set<int> matched_feeds(const Comparison& comparison, int sample) {
  std::set<int> feeds;
  for (const MatchedSet& set : comparison.matching.sets) {
    const auto& own = set.members[as_index(sample)];
    feeds.insert(own.begin(), own.end());
  }
  return feeds;
}

std::string pair_file_name(const Comparison& comparison,
                           std::string_view kind,
                           const std::string& what,
                           int a,
                           int b) {
  std::string name = fmt::format("{}-{}", kind, what);
  if (comparison.samples.size() > 2)
    name += fmt::format("-{}-{}", a + 1, b + 1);
  for (char& c : name) {
    if (std::isalnum(static_cast<unsigned char>(c)) == 0) c = '-';
  }
  return name;
}

std::optional<Drawing> trials_drawing(const Comparison& comparison,
                                      const Effect& effect) {
  const Outcome* outcome = find_outcome(comparison, effect.outcome);
  if (outcome == nullptr || effect.kind == OutcomeKind::kYesNo) return {};
  Span x;
  for (const int sample : {effect.a, effect.b}) {
    for (const double value : outcome->values[as_index(sample)]) x.take(value);
  }
  if (!x.known()) return {};
  Rows rows(2, x);
  rows.frame.x_axis(rows.canvas, axis_name(effect));
  draw_trials(comparison, effect, *outcome, effect.a, 0, rows);
  draw_trials(comparison, effect, *outcome, effect.b, 1, rows);
  const std::string title = title_of(comparison, effect);
  return Drawing{
      pair_file_name(comparison, "trials", effect.outcome, effect.a, effect.b),
      title + ", every trial",
      "Full: trials with a partner; hollow: without one; upright: the mean of "
      "those with one. That points lie above each other means nothing.",
      rows.canvas.finish(title + ": every trial's outcome, a row per sample"),
      kRowLetter};
}

Drawing effect_drawing(const Comparison& comparison, const Effect& effect) {
  const std::vector<Line> lines = lines_of(effect);
  Span x;
  x.take(0);
  for (const Line& line : lines) {
    x.take(shown(effect, line.interval.low));
    x.take(shown(effect, line.interval.high));
  }
  Rows rows(std::max<std::size_t>(lines.size(), 1), x);
  const std::string& a = name_of(comparison, effect.a);
  const std::string& b = name_of(comparison, effect.b);
  rows.frame.x_axis(rows.canvas, "difference in " + axis_name(effect));
  rows.upright(0, "centre-line");
  rows.sides(drawn(a) + " less", drawn(a) + " more");
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const char* look = i == 0 ? "keep" : "unjudged";
    rows.name(i, line_words(effect, lines[i]));
    rows.canvas.line(rows.at(shown(effect, lines[i].interval.low), i),
                     rows.at(shown(effect, lines[i].interval.high), i),
                     fmt::format("interval {}", look));
    rows.canvas.mark(Mark::kCircle,
                     rows.at(shown(effect, lines[i].value), i),
                     i == 0 ? 1.4 * kRowMark : kRowMark,
                     fmt::format("point {}", look),
                     line_words(effect, lines[i]));
  }
  return {
      pair_file_name(
          comparison, "difference", effect.outcome, effect.a, effect.b),
      fmt::format("{}: {} minus {}", outcome_words(effect.outcome), a, b),
      fmt::format("With {:.0f} % intervals. The first is the answer; how "
                  "far the last is from it is what was laid to the feed. {}",
                  100 * comparison.confidence,
                  effect_sentence(comparison, effect)),
      rows.canvas.finish(effect_sentence(comparison, effect)),
      kRowLetter};
}

Drawing balance_drawing(const Comparison& comparison, const PairBalance& two) {
  Span x;
  for (const double value : {-0.2, 0.2}) x.take(value);
  for (const BalanceRow& row : two.rows) {
    x.take(row.smd_before);
    x.take(row.smd_after);
  }
  Rows rows(std::max<std::size_t>(two.rows.size(), 1), x);
  const std::string& a = name_of(comparison, two.a);
  const std::string& b = name_of(comparison, two.b);
  rows.frame.x_axis(rows.canvas, "difference of the means, in sd of the feeds");
  rows.upright(0, "centre-line");
  rows.upright(-0.1, "warning-line");
  rows.upright(0.1, "warning-line");
  rows.sides(drawn(a) + " less", drawn(a) + " more");
  for (std::size_t i = 0; i < two.rows.size(); ++i) {
    const BalanceRow& row = two.rows[i];
    const std::string words = characteristic_words(row.characteristic);
    rows.name(i, words);
    const auto mark = [&](double value, const char* style, const char* when) {
      if (!std::isfinite(value)) return;
      rows.canvas.mark(
          Mark::kCircle,
          rows.at(value, i),
          kRowMark,
          style,
          fmt::format("{} {} matching: {:+.2f} sd", words, when, value));
    };
    mark(row.smd_before, "alone keep", "before");
    mark(row.smd_after, "point keep", "after");
  }
  return {pair_file_name(comparison, "feeds", "alike", two.a, two.b),
          fmt::format("feeds of {} minus those of {}", a, b),
          "Difference of the means, in standard deviations of the feeds. "
          "Hollow: before matching; full: after it. Within the dotted lines "
          "(0.1) is alike.",
          rows.canvas.finish(fmt::format(
              "Standardised differences of the feeds of {} and {} before and "
              "after matching, as in the table below",
              a,
              b)),
          kRowLetter};
}

}  // namespace evenfeed
