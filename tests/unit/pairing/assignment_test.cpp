// SPDX-License-Identifier: MIT
#include "pairing/assignment.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <numeric>
#include <random>
#include <set>
#include <stdexcept>
#include <vector>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

struct Problem {
  Candidates candidates;
  std::vector<std::vector<std::pair<int, double>>> edges;
};

Problem random_problem(std::mt19937& random,
                       int rows,
                       int columns,
                       double density,
                       bool whole_numbers) {
  std::uniform_real_distribution<double> uniform(0, 1);
  Problem problem;
  problem.candidates.columns = columns;
  for (int r = 0; r < rows; ++r) {
    problem.edges.emplace_back();
    for (int c = 0; c < columns; ++c) {
      if (uniform(random) > density) continue;
      const double cost =
          whole_numbers ? std::floor(5 * uniform(random)) : uniform(random);
      problem.candidates.add(c, cost);
      problem.edges.back().emplace_back(c, cost);
    }
    problem.candidates.end_row();
  }
  return problem;
}

// How many rows have at least 1, 2, ... partners, then the cost: what is to be
// made best, in this order.
struct Score {
  std::vector<int> served;
  double cost = 0;
  bool better_than(const Score& other) const {
    if (served != other.served) return served > other.served;
    return cost < other.cost - 1e-12;
  }
};

Score score_of(const std::vector<int>& taken, double cost, int ratio) {
  Score score{std::vector<int>(static_cast<std::size_t>(ratio), 0), cost};
  for (const int count : taken) {
    for (int k = 0; k < count; ++k) ++score.served[static_cast<std::size_t>(k)];
  }
  return score;
}

// Tries every column with every row.
Score brute_force(const Problem& problem, int ratio) {
  const int rows = problem.candidates.rows();
  std::vector<int> taken(static_cast<std::size_t>(rows), 0);
  Score best = score_of(taken, 0, ratio);
  const std::function<void(int, double)> go = [&](int column, double cost) {
    if (column == problem.candidates.columns) {
      const Score here = score_of(taken, cost, ratio);
      if (here.better_than(best)) best = here;
      return;
    }
    go(column + 1, cost);
    for (int r = 0; r < rows; ++r) {
      const auto row = static_cast<std::size_t>(r);
      if (taken[row] == ratio) continue;
      for (const auto& [c, edge] : problem.edges[row]) {
        if (c != column) continue;
        ++taken[row];
        go(column + 1, cost + edge);
        --taken[row];
      }
    }
  };
  go(0, 0);
  return best;
}

// The largest number of pairs, by breadth and depth first search (Hopcroft and
// Karp 1973, SIAM J. Comput. 2:225): shares nothing with the code it checks.
int maximum_pairs(const Problem& problem) {
  const int rows = problem.candidates.rows();
  std::vector<int> column_of(static_cast<std::size_t>(rows), -1);
  std::vector<int> row_of(static_cast<std::size_t>(problem.candidates.columns),
                          -1);
  std::vector<int> layer(static_cast<std::size_t>(rows));
  const std::function<bool(int)> extend = [&](int r) {
    const auto row = static_cast<std::size_t>(r);
    for (const auto& [c, cost] : problem.edges[row]) {
      const int next = row_of[static_cast<std::size_t>(c)];
      if (next >= 0 &&
          (layer[static_cast<std::size_t>(next)] != layer[row] + 1 ||
           !extend(next))) {
        continue;
      }
      column_of[row] = c;
      row_of[static_cast<std::size_t>(c)] = r;
      return true;
    }
    layer[row] = -1;
    return false;
  };
  int pairs = 0;
  while (true) {
    std::vector<int> queue;
    for (int r = 0; r < rows; ++r) {
      const bool free = column_of[static_cast<std::size_t>(r)] < 0;
      layer[static_cast<std::size_t>(r)] = free ? 0 : -1;
      if (free) queue.push_back(r);
    }
    for (std::size_t i = 0; i < queue.size(); ++i) {
      const auto row = static_cast<std::size_t>(queue[i]);
      for (const auto& [c, cost] : problem.edges[row]) {
        const int next = row_of[static_cast<std::size_t>(c)];
        if (next < 0 || layer[static_cast<std::size_t>(next)] >= 0) continue;
        layer[static_cast<std::size_t>(next)] = layer[row] + 1;
        queue.push_back(next);
      }
    }
    int found = 0;
    for (int r = 0; r < rows; ++r) {
      if (column_of[static_cast<std::size_t>(r)] < 0) found += extend(r);
    }
    if (found == 0) return pairs;
    pairs += found;
  }
}

// Only allowed pairs, no column twice, the totals as they say.
void check_legal(const Problem& problem, const Assignment& got, int ratio) {
  std::set<int> used;
  int pairs = 0;
  double cost = 0;
  REQUIRE(got.partners.size() == problem.edges.size());
  for (std::size_t r = 0; r < got.partners.size(); ++r) {
    CHECK(static_cast<int>(got.partners[r].size()) <= ratio);
    for (const int column : got.partners[r]) {
      CHECK(used.insert(column).second);
      const auto edge = std::find_if(problem.edges[r].begin(),
                                     problem.edges[r].end(),
                                     [&](auto e) { return e.first == column; });
      REQUIRE(edge != problem.edges[r].end());
      cost += edge->second;
      ++pairs;
    }
  }
  CHECK(pairs == got.pairs);
  CHECK(cost == doctest::Approx(got.cost).epsilon(1e-12));
}

Candidates dense(const std::vector<std::vector<double>>& costs) {
  Candidates candidates;
  candidates.columns = static_cast<int>(costs[0].size());
  for (const auto& row : costs) {
    for (std::size_t c = 0; c < row.size(); ++c) {
      candidates.add(static_cast<int>(c), row[c]);
    }
    candidates.end_row();
  }
  return candidates;
}

}  // namespace

TEST_CASE("worked examples") {
  // scipy.optimize.linear_sum_assignment, documentation
  const Assignment a = assign(dense({{4, 1, 3}, {2, 0, 5}, {3, 2, 2}}));
  CHECK(a.cost == 5);
  CHECK(a.partners == std::vector<std::vector<int>>{{1}, {0}, {2}});
  // R: clue::solve_LSAP, documentation
  const Assignment b = assign(dense({{5, 3, 2}, {1, 5, 4}, {4, 2, 4}}));
  CHECK(b.cost == 5);
  CHECK(b.partners == std::vector<std::vector<int>>{{2}, {0}, {1}});
}

TEST_CASE("random problems against every possible pairing") {
  std::mt19937 random(20);
  std::uniform_int_distribution<int> size(1, 6);
  int tried = 0;
  for (int round = 0; round < 400; ++round) {
    const double density = 0.15 + 0.85 * (round % 7) / 6.0;
    const Problem problem = random_problem(
        random, size(random), size(random), density, round % 2 == 0);
    for (const int ratio : {1, 2, 3}) {
      CAPTURE(round);
      CAPTURE(ratio);
      const Assignment got = assign(problem.candidates, ratio);
      check_legal(problem, got, ratio);
      std::vector<int> taken;
      for (const auto& p : got.partners) {
        taken.push_back(static_cast<int>(p.size()));
      }
      const Score best = brute_force(problem, ratio);
      CHECK(score_of(taken, 0, ratio).served == best.served);
      CHECK(got.cost == doctest::Approx(best.cost).epsilon(1e-9));
      ++tried;
    }
  }
  CHECK(tried == 1200);
}

TEST_CASE("200 problems of 8 by 8, all pairs allowed, against permutations") {
  std::mt19937 random(8);
  for (int round = 0; round < 200; ++round) {
    const Problem problem = random_problem(random, 8, 8, 1, false);
    std::vector<int> order(8);
    std::iota(order.begin(), order.end(), 0);
    double best = std::numeric_limits<double>::infinity();
    do {
      double cost = 0;
      for (std::size_t r = 0; r < 8; ++r) {
        cost += problem.edges[r][static_cast<std::size_t>(order[r])].second;
      }
      best = std::min(best, cost);
    } while (std::next_permutation(order.begin(), order.end()));
    const Assignment got = assign(problem.candidates);
    CHECK(got.pairs == 8);
    CHECK(got.cost == doctest::Approx(best).epsilon(1e-12));
  }
}

TEST_CASE("as many pairs as another algorithm finds, sparse and large") {
  std::mt19937 random(77);
  int short_of_all = 0;
  for (int round = 0; round < 60; ++round) {
    const double density = 0.002 + 0.02 * (round % 10) / 9.0;
    const Problem problem = random_problem(random, 150, 130, density, false);
    const Assignment got = assign(problem.candidates);
    check_legal(problem, got, 1);
    const int most = maximum_pairs(problem);
    CHECK(got.pairs == most);
    short_of_all += most < 130;
  }
  // Otherwise the test would not have tested leaving rows out.
  CHECK(short_of_all > 20);
}

// Whether pairs could be exchanged, their number kept, so that the total falls:
// a cycle of negative cost in the graph of what may change (Klein 1967), by
// Bellman and Ford. Rows, then columns, then a place for rows without a
// partner and one for columns without.
bool can_be_cheaper(const Problem& problem, const Assignment& got) {
  struct Edge {
    int from;
    int to;
    double cost;
  };
  const int rows = static_cast<int>(problem.edges.size());
  const int columns = problem.candidates.columns;
  const int idle_rows = rows + columns;
  const int idle_columns = idle_rows + 1;
  std::vector<Edge> edges;
  std::vector<char> taken(static_cast<std::size_t>(columns), 0);
  for (int r = 0; r < rows; ++r) {
    const auto& partners = got.partners[static_cast<std::size_t>(r)];
    for (const auto& [c, cost] : problem.edges[static_cast<std::size_t>(r)]) {
      const bool paired = !partners.empty() && partners[0] == c;
      edges.push_back(paired ? Edge{rows + c, r, -cost}
                             : Edge{r, rows + c, cost});
      if (paired) taken[static_cast<std::size_t>(c)] = 1;
    }
    edges.push_back(partners.empty() ? Edge{idle_rows, r, 0}
                                     : Edge{r, idle_rows, 0});
  }
  for (int c = 0; c < columns; ++c) {
    edges.push_back(taken[static_cast<std::size_t>(c)]
                        ? Edge{idle_columns, rows + c, 0}
                        : Edge{rows + c, idle_columns, 0});
  }
  std::vector<double> distance(static_cast<std::size_t>(idle_columns + 1), 0);
  for (int i = 0; i <= idle_columns + 1; ++i) {
    bool changed = false;
    for (const Edge& edge : edges) {
      const double by =
          distance[static_cast<std::size_t>(edge.from)] + edge.cost;
      double& to = distance[static_cast<std::size_t>(edge.to)];
      if (by >= to - 1e-9) continue;
      to = by;
      changed = true;
    }
    if (!changed) return false;
  }
  return true;
}

TEST_CASE("no exchange makes it cheaper, with rows of many candidates") {
  std::mt19937 random(11);
  for (int round = 0; round < 24; ++round) {
    const double density = round % 3 == 0 ? 1.0 : round % 3 == 1 ? 0.5 : 0.05;
    const int columns = round % 2 == 0 ? 90 : 70;
    const Problem problem =
        random_problem(random, 80, columns, density, round % 4 == 3);
    const Assignment got = assign(problem.candidates);
    check_legal(problem, got, 1);
    CHECK(got.pairs == maximum_pairs(problem));
    CHECK_FALSE(can_be_cheaper(problem, got));
  }
  // And the proof can fail.
  Problem swapped;
  swapped.candidates.columns = 2;
  swapped.edges = {{{0, 1.0}, {1, 2.0}}, {{0, 2.0}, {1, 1.0}}};
  Assignment worse;
  worse.partners = {{1}, {0}};
  CHECK(can_be_cheaper(swapped, worse));
}

TEST_CASE("rows that cost more are left out") {
  // Three rows want one column; a fourth has one of its own.
  Candidates candidates;
  candidates.columns = 2;
  for (const double cost : {3.0, 1.0, 2.0}) {
    candidates.add(0, cost);
    candidates.end_row();
  }
  candidates.add(1, 9);
  candidates.end_row();
  const Assignment got = assign(candidates);
  CHECK(got.partners == std::vector<std::vector<int>>{{}, {0}, {}, {1}});
  CHECK(got.cost == 10);
}

TEST_CASE("nothing to pair, and what cannot be paired") {
  CHECK(assign({}).pairs == 0);
  Candidates lonely;
  lonely.columns = 3;
  lonely.end_row();
  lonely.end_row();
  CHECK(assign(lonely).partners.size() == 2);
  CHECK(assign(lonely).pairs == 0);
  Candidates bad;
  bad.columns = 1;
  bad.add(0, -1);
  bad.end_row();
  CHECK_THROWS_AS(assign(bad), std::logic_error);
  bad.cost[0] = NAN;
  CHECK_THROWS_AS(assign(bad), std::logic_error);
  bad.cost[0] = 1;
  CHECK_THROWS_AS(assign(bad, 0), std::logic_error);
  bad.column[0] = 1;
  CHECK_THROWS_AS(assign(bad), std::logic_error);
}
