// SPDX-License-Identifier: MIT
#include "live/order_sheet.h"

#include "base/counted.h"
#include "base/error.h"

#include <algorithm>
#include <optional>
#include <utility>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// A column that may be missing.
class Cells {
 public:
  Cells(const CsvTable& table, const std::string& name)
      : table_(table), column_(table.column(name)) {}
  std::string operator()(std::size_t row) const {
    return column_ ? table_.text(row, *column_) : std::string();
  }
  [[noreturn]] void refuse(std::size_t row,
                           const std::string& problem,
                           const std::string& mend) const {
    throw InputError(table_.place(row, column_.value_or(0)), problem, mend);
  }

 private:
  const CsvTable& table_;
  std::optional<std::size_t> column_;
};

// What would come into the log from the sheet is held to what it takes.
void require_loggable(const Cells& cells, std::size_t row) {
  const std::string text = cells(row);
  if (text.empty()) return;
  const std::string why = TrialLog::why_not(LogWord::kSample, text);
  if (!why.empty()) cells.refuse(row, why, "Change it in the sheet");
}

void require_unfilled(const CsvTable& table) {
  const Cells feed(table, "feed");
  const Cells order(table, "order");
  for (std::size_t r = 0; r < table.rows(); ++r) {
    if (!feed(r).empty()) {
      feed.refuse(r,
                  "this row was fed already",
                  "Give the sheet as 'plan order' writes it");
    }
    if (table.column("order") && order(r) != fmt::format("{}", r + 1)) {
      order.refuse(r,
                   fmt::format("the order is {} where {} comes",
                               order(r).empty() ? "empty" : order(r),
                               r + 1),
                   "Sort the rows by it, and leave none out");
    }
  }
}

std::string name_of(const OrderStep& step) {
  if (!step.sample.empty()) return step.sample;
  return step.purpose.empty() ? "launcher alone"
                              : step.purpose + " (launcher alone)";
}

std::string coming(const OrderStep& step) {
  std::string words =
      fmt::format("{}, {}", name_of(step), counted(step.feeds(), "feed"));
  if (!step.after.empty()) words += ", then " + step.after;
  return words;
}

// The steps that were said to have begun, with when.
std::vector<double> begun_s(const TrialLog& log) {
  std::vector<double> begun;
  for (const LogEntry& entry : log.entries()) {
    if (entry.word == LogWord::kStep) begun.push_back(entry.t_s);
  }
  return begun;
}

}  // namespace

OrderSheet::OrderSheet(const CsvTable& table) {
  (void)table.require_column("sample");
  require_unfilled(table);
  const Cells sample(table, "sample");
  const Cells purpose(table, "purpose");
  const Cells ball(table, "ball");
  const Cells note(table, "note");
  bool ended = true;
  for (std::size_t r = 0; r < table.rows(); ++r) {
    for (const Cells* cells : {&sample, &ball, &note}) {
      require_loggable(*cells, r);
    }
    if (ended || steps_.back().sample != sample(r) ||
        steps_.back().purpose != purpose(r)) {
      steps_.push_back({sample(r), purpose(r), "", {}});
    }
    steps_.back().balls.push_back(ball(r));
    steps_.back().after = note(r);
    ended = !note(r).empty();
  }
  if (steps_.empty()) {
    throw InputError(table.name(),
                     "there is no feed in this order",
                     "Make one with 'evenfeed plan order'");
  }
}

OrderPlace OrderSheet::place(const TrialLog& log,
                             const std::vector<double>& counting_s) const {
  const std::vector<double> begun = begun_s(log);
  OrderPlace place;
  place.step = static_cast<int>(std::min(begun.size(), steps_.size()));
  const double since_s = begun.empty() ? -1e300 : begun.back();
  place.fed = static_cast<int>(
      std::count_if(counting_s.begin(), counting_s.end(), [&](double t_s) {
        return t_s >= since_s;
      }));
  return place;
}

bool OrderSheet::due(const OrderPlace& place) const {
  const auto at = static_cast<std::size_t>(place.step);
  return at < steps_.size() && place.fed >= steps_[at].feeds();
}

std::string OrderSheet::words(const OrderPlace& place) const {
  const auto at = static_cast<std::size_t>(place.step);
  if (at >= steps_.size()) return "the order is done";
  const OrderStep& now = steps_[at];
  const bool last = at + 1 == steps_.size();
  const std::string next = last ? "" : coming(steps_[at + 1]);
  if (!due(place)) {
    return fmt::format("{}: {} of {} fed{}{}",
                       name_of(now),
                       place.fed,
                       now.feeds(),
                       now.after.empty() ? "" : ", then " + now.after,
                       last ? "; it is the last" : "; next: " + next);
  }
  const int over = place.fed - now.feeds();
  return fmt::format(
      "{}{}{}{}",
      now.after.empty() ? "" : now.after + "; ",
      last ? "all is fed" : "next: " + next,
      ": say when it is done",
      over > 0 ? fmt::format("; {} more than the order has",
                             counted(over, "feed was fed", "feeds were fed"))
               : "");
}

std::vector<FeedLog> logs_of_feeds(
    const TrialLog& log,
    const OrderSheet& order,
    const std::vector<std::pair<double, double>>& flown_s) {
  const std::vector<double> begun = begun_s(log);
  std::vector<FeedLog> all;
  std::vector<std::size_t> fed(order.steps().size());
  for (const auto& [first_s, last_s] : flown_s) {
    FeedLog one = log.of(first_s, last_s);
    const auto step = static_cast<std::size_t>(
        std::count_if(begun.begin(), begun.end(), [&, at = first_s](double t) {
          return t <= at;
        }));
    if (step < order.steps().size()) {
      const std::vector<std::string>& balls = order.steps()[step].balls;
      if (one.ball.empty() && fed[step] < balls.size()) {
        one.ball = balls[fed[step]];
      }
      // One that does not count is fed again, with the same ball.
      fed[step] += one.excluded ? 0 : 1;
    }
    all.push_back(std::move(one));
  }
  return all;
}

}  // namespace evenfeed
