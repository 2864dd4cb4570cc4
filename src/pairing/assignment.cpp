// SPDX-License-Identifier: MIT
#include "pairing/assignment.h"

#include "base/as_index.h"
#include "base/check.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <queue>

namespace evenfeed {
namespace {

constexpr int kNone = -1;
constexpr double kFar = std::numeric_limits<double>::infinity();
constexpr double kDone = -kFar;
constexpr int kBiddingPasses = 2;
constexpr int kBidsPerRow = 8;

// Every row's candidates, the cheapest first, put in order as far as anybody
// has looked: of thousands a search seldom sees more than a few.
//
// In order of cost - v(column) as it was when the row was put in order. Since
// v only falls while a column is open, that is a lower bound for ever; a row
// in which many were looked at for nothing is put in order anew.
class SortedRows {
 public:
  struct Entry {
    double bound;
    double cost;
    int column;
    bool operator<(const Entry& other) const {
      return bound != other.bound ? bound < other.bound : column < other.column;
    }
  };

  explicit SortedRows(const Candidates& given) : first_(given.first) {
    entries_.reserve(given.cost.size());
    for (std::size_t k = 0; k < given.cost.size(); ++k) {
      entries_.push_back({given.cost[k], given.cost[k], given.column[k]});
    }
    sorted_.assign(first_.begin(), first_.end() - 1);
    wasted_.assign(sorted_.size(), 0);
  }

  std::size_t begin(std::size_t row) const { return first_[row]; }
  std::size_t end(std::size_t row) const { return first_[row + 1]; }
  /// In order of cost when asked for one after the other.
  const Entry& at(std::size_t row, std::size_t k) {
    if (k >= sorted_[row]) sort_more(row, k);
    return entries_[k];
  }
  /// Tells that so many were looked at that `v` says are too dear.
  void waste(std::size_t row, std::size_t looks, const std::vector<double>& v) {
    wasted_[row] += looks;
    if (wasted_[row] < first_[row + 1] - first_[row]) return;
    for (std::size_t k = first_[row]; k < first_[row + 1]; ++k) {
      Entry& entry = entries_[k];
      entry.bound = entry.cost - v[static_cast<std::size_t>(entry.column)];
    }
    sorted_[row] = first_[row];
    wasted_[row] = 0;
  }
  /// In any order.
  const Entry& any(std::size_t k) const { return entries_[k]; }

 private:
  void sort_more(std::size_t row, std::size_t k) {
    const std::size_t done = sorted_[row];
    const std::size_t more =
        std::max<std::size_t>(24, 2 * (done - first_[row]));
    const std::size_t until =
        std::min(std::max(done + more, k + 1), first_[row + 1]);
    const auto place = [&](std::size_t i) {
      return entries_.begin() + static_cast<std::ptrdiff_t>(i);
    };
    std::nth_element(place(done), place(until - 1), place(first_[row + 1]));
    std::sort(place(done), place(until));
    sorted_[row] = until;
  }

  std::vector<std::size_t> first_;
  std::vector<Entry> entries_;
  std::vector<std::size_t> sorted_;  // per row: in order before this
  std::vector<std::size_t> wasted_;  // per row: looks, since it was in order
};

// Seats are rows, repeated once per round: seat = round * rows + row.
//
// Reduced cost of an allowed pair: cost - u(seat) - v(column) >= 0, and 0 for
// the pairs made; v = 0 for a free column.
//
// When a search from a new seat reaches no free column, neither will any
// later search from what it reached: those columns are closed, for good. Their
// potentials hold the cost of leaving a seat out besides (+ for seats, - for
// columns), which all of them share and which is therefore not written down.
// A later search enters them only when all else fails, to find out which seat
// of this round is best left out. What earlier rounds closed stays as it is:
// a second partner never takes somebody's first.
class Matcher {
 public:
  Matcher(const Candidates& candidates, int ratio)
      : graph_(candidates), rows_(candidates.rows()) {
    const auto seats = static_cast<std::size_t>(rows_) * ratio;
    const auto columns = static_cast<std::size_t>(candidates.columns);
    u_.assign(seats, 0);
    column_of_.assign(seats, kNone);
    v_.assign(columns, 0);
    seat_of_.assign(columns, kNone);
    closed_in_.assign(columns, kNone);
    distance_.assign(columns, kFar);
    reach_.assign(columns, kFar);
    from_.assign(columns, kNone);
  }

  void run_round(int round) {
    round_ = round;
    if (round == 0) bid();
    for (int row = 0; row < rows_; ++row) {
      const int seat = round * rows_ + row;
      if (column_of_[as_index(seat)] == kNone) place(seat);
    }
  }

  int column_of(int seat) const { return column_of_[as_index(seat)]; }

 private:
  struct Reached {
    double distance;
    int column;
    bool operator>(const Reached& other) const {
      return distance > other.distance;
    }
  };
  using Queue =
      std::priority_queue<Reached, std::vector<Reached>, std::greater<>>;

  int row_of(int seat) const { return seat % rows_; }
  bool of_this_round(int seat) const { return seat / rows_ == round_; }

  // A row bids for its cheapest column: lowers its potential until the second
  // cheapest is as good, and so becomes tight; who had the column has to look
  // again. All conditions hold throughout: potentials only fall, and only
  // those of columns that are taken, which stay taken. Where rows outnumber
  // their columns that would go on for ever: hence a limit, and a row with a
  // single candidate does not bid.
  void bid() {
    std::vector<int> waiting(as_index(rows_));
    std::iota(waiting.rbegin(), waiting.rend(), 0);
    for (int pass = 0; pass < kBiddingPasses; ++pass) {
      std::vector<int> later;
      int left = kBidsPerRow * rows_;
      while (!waiting.empty()) {
        const int row = waiting.back();
        waiting.pop_back();
        const Offer offer = best_offer(row);
        if (offer.column == kNone) continue;
        u_[as_index(row)] = offer.cost;
        int column = offer.column;
        const bool lowers = offer.next_cost > offer.cost;
        if (lowers && offer.next != kNone) {
          v_[as_index(column)] -= offer.next_cost - offer.cost;
          u_[as_index(row)] = offer.next_cost;
        } else if (lowers && seat_of_[as_index(column)] != kNone) {
          continue;  // a single candidate, taken
        } else if (!lowers && seat_of_[as_index(column)] != kNone) {
          column = offer.next;  // as good, and may be free
        }
        const int before = seat_of_[as_index(column)];
        if (before != kNone) {
          column_of_[as_index(before)] = kNone;
          (lowers && left > 0 ? waiting : later).push_back(before);
          --left;
        }
        seat_of_[as_index(column)] = row;
        column_of_[as_index(row)] = column;
      }
      std::swap(waiting, later);
    }
  }

  // The two cheapest columns of a row at the present potentials.
  struct Offer {
    int column = kNone;
    int next = kNone;
    double cost = kFar;
    double next_cost = kFar;
  };

  Offer best_offer(int row) {
    Offer offer;
    for (std::size_t k = graph_.begin(as_index(row));
         k < graph_.end(as_index(row));
         ++k) {
      const auto& entry = graph_.at(as_index(row), k);
      if (entry.bound >= offer.next_cost) break;
      const double cost = entry.cost - v_[as_index(entry.column)];
      if (cost < offer.cost) {
        offer.next = offer.column;
        offer.next_cost = offer.cost;
        offer.column = entry.column;
        offer.cost = cost;
      } else if (cost < offer.next_cost) {
        offer.next = entry.column;
        offer.next_cost = cost;
      }
    }
    return offer;
  }

  void place(int seat) {
    // Any feasible value will do for the seat the search starts from.
    if (round_ > 0) u_[as_index(seat)] = 0;
    if (const int end = reach_free_column(seat); end != kNone) {
      const double total = distance_[as_index(end)];
      raise_potentials(open_, total);
      u_[as_index(seat)] += total;
      augment(end);
    } else {
      leave_one_out(seat);
    }
    for (const int column : touched_) {
      const bool closed = closed_in_[as_index(column)] != kNone;
      distance_[as_index(column)] = kFar;
      reach_[as_index(column)] = closed ? kDone : kFar;
    }
    touched_.clear();
    open_.clear();
    inner_.clear();
  }

  void lower(int column, double distance, int seat, Queue& queue) {
    if (distance_[as_index(column)] == kFar) touched_.push_back(column);
    distance_[as_index(column)] = distance;
    reach_[as_index(column)] = distance;
    from_[as_index(column)] = seat;
    queue.push({distance, column});
  }

  // Nearest free column by open ones, or kNone. Doors to the closed part are
  // kept for later.
  int reach_free_column(int start) {
    Queue queue;
    double nearest_free = kFar;
    scan_open(start, 0, queue, nearest_free);
    while (!queue.empty()) {
      const auto [distance, column] = queue.top();
      queue.pop();
      if (reach_[as_index(column)] == kDone) continue;
      if (seat_of_[as_index(column)] == kNone) return column;
      reach_[as_index(column)] = kDone;
      open_.push_back(column);
      scan_open(seat_of_[as_index(column)], distance, queue, nearest_free);
    }
    return kNone;
  }

  void scan_open(int seat, double so_far, Queue& queue, double& nearest_free) {
    const auto row = as_index(row_of(seat));
    const double base = so_far - u_[as_index(seat)];
    std::size_t wasted = 0;
    for (std::size_t k = graph_.begin(row); k < graph_.end(row); ++k) {
      const auto& entry = graph_.at(row, k);
      // What follows costs more.
      if (base + entry.bound >= nearest_free) break;
      const int column = entry.column;
      const double straight = base + entry.cost - v_[as_index(column)];
      if (straight >= nearest_free) {
        ++wasted;
        continue;
      }
      if (straight >= reach_[as_index(column)]) continue;
      // Rounding must not make a step backwards.
      const double distance = std::max(so_far, straight);
      if (seat_of_[as_index(column)] == kNone) nearest_free = distance;
      lower(column, distance, seat, queue);
    }
    if (wasted > 0) graph_.waste(row, wasted, v_);
  }

  // No distance comes out below `floor`: rounding must not make a step
  // backwards.
  void scan_closed(int seat, double so_far, double floor, Queue& queue) {
    const auto row = as_index(row_of(seat));
    const double base = so_far - u_[as_index(seat)];
    for (std::size_t k = graph_.begin(row); k < graph_.end(row); ++k) {
      const int column = graph_.any(k).column;
      if (closed_in_[as_index(column)] != round_) continue;
      const double distance =
          std::max(floor, base + graph_.any(k).cost - v_[as_index(column)]);
      if (distance < distance_[as_index(column)]) {
        lower(column, distance, seat, queue);
      }
    }
  }

  // No free column can be reached: one seat of this round goes without.
  void leave_one_out(int start) {
    Queue queue;
    double least = -u_[as_index(start)];
    int victim_column = kNone;  // of the seat to leave out; kNone: the new one
    const auto consider = [&](int column) {
      const int seat = seat_of_[as_index(column)];
      const double total = distance_[as_index(column)] - u_[as_index(seat)];
      if (!of_this_round(seat) || total >= least) return;
      least = total;
      victim_column = column;
    };
    scan_closed(start, 0, -kFar, queue);
    for (const int column : open_) {
      consider(column);
      scan_closed(seat_of_[as_index(column)],
                  distance_[as_index(column)],
                  -kFar,
                  queue);
    }
    while (!queue.empty() && queue.top().distance < least) {
      const auto [distance, column] = queue.top();
      queue.pop();
      if (distance > distance_[as_index(column)])
        continue;  // came nearer since
      inner_.push_back(column);
      consider(column);
      scan_closed(seat_of_[as_index(column)], distance, distance, queue);
    }
    raise_potentials(open_, least);
    raise_potentials(inner_, least);
    u_[as_index(start)] += least;
    for (const int column : open_) closed_in_[as_index(column)] = round_;
    if (victim_column == kNone) return;
    column_of_[as_index(seat_of_[as_index(victim_column)])] = kNone;
    augment(victim_column);
  }

  void raise_potentials(const std::vector<int>& columns, double total) {
    for (const int column : columns) {
      const double by = total - distance_[as_index(column)];
      v_[as_index(column)] -= by;
      u_[as_index(seat_of_[as_index(column)])] += by;
    }
  }

  // Every seat on the way to `column` moves one column along.
  void augment(int column) {
    while (column != kNone) {
      const int seat = from_[as_index(column)];
      const int before = column_of_[as_index(seat)];
      seat_of_[as_index(column)] = seat;
      column_of_[as_index(seat)] = column;
      column = before;
    }
  }

  SortedRows graph_;
  int rows_;
  int round_ = 0;
  std::vector<double> u_;
  std::vector<double> v_;
  std::vector<int> column_of_;    // per seat
  std::vector<int> seat_of_;      // per column
  std::vector<int> closed_in_;    // per column: the round, kNone while open
  std::vector<double> distance_;  // per column, in the search that runs
  // What a distance must be below to count: distance_ for a column that may
  // still come nearer, kDone for one that is settled or closed.
  std::vector<double> reach_;
  std::vector<int> from_;
  std::vector<int> touched_;
  std::vector<int> open_;   // settled in this search, open before
  std::vector<int> inner_;  // settled in this search, closed before
};

void check(const Candidates& candidates, int ratio) {
  require(ratio >= 1, "assign: ratio of at least 1");
  require(candidates.column.size() == candidates.cost.size() &&
              candidates.first.back() == candidates.column.size(),
          "assign: candidates are not whole");
  for (std::size_t k = 0; k < candidates.cost.size(); ++k) {
    require(std::isfinite(candidates.cost[k]) && candidates.cost[k] >= 0,
            "assign: a cost is finite and not negative");
    require(
        candidates.column[k] >= 0 && candidates.column[k] < candidates.columns,
        "assign: column out of range");
  }
}

double cost_of(const Candidates& candidates, int row, int column) {
  const auto r = static_cast<std::size_t>(row);
  for (std::size_t k = candidates.first[r]; k < candidates.first[r + 1]; ++k) {
    if (candidates.column[k] == column) return candidates.cost[k];
  }
  return 0;
}

}  // namespace

Assignment assign(const Candidates& candidates, int ratio) {
  check(candidates, ratio);
  const int rows = candidates.rows();
  Matcher matcher(candidates, ratio);
  for (int round = 0; round < ratio; ++round) matcher.run_round(round);

  Assignment result;
  result.partners.resize(static_cast<std::size_t>(rows));
  for (int row = 0; row < rows; ++row) {
    auto& partners = result.partners[static_cast<std::size_t>(row)];
    for (int round = 0; round < ratio; ++round) {
      const int column = matcher.column_of(round * rows + row);
      if (column != kNone) partners.push_back(column);
    }
    std::sort(partners.begin(), partners.end(), [&](int a, int b) {
      return cost_of(candidates, row, a) < cost_of(candidates, row, b);
    });
    for (const int column : partners) {
      result.cost += cost_of(candidates, row, column);
      ++result.pairs;
    }
  }
  return result;
}

}  // namespace evenfeed
