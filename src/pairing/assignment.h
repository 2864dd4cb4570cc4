// SPDX-License-Identifier: MIT
// The best pairing of rows with columns when only some pairs are allowed: as
// many pairs as possible, and among those the least total cost, exactly.
//
// Successive shortest augmenting paths with potentials (Kuhn 1955; Tomizawa
// 1971; Edmonds and Karp 1972, J ACM 19:248) on a sparse list of candidates,
// after rows have bid for their columns (the augmenting row reduction of Jonker
// and Volgenant 1987, Computing 38:325), which places most of them cheaply.
// A row that cannot be paired any more has to be left out, or one that was
// paired before makes room for it: that choice is part of the same shortest
// path, by way of a column of its own that costs more than everything else.
// The huge cost is kept apart from the ordinary one, so that no digit of a
// distance is lost to it.
#pragma once

#include <cstddef>
#include <vector>

namespace evenfeed {

/// The allowed pairs, row by row.
struct Candidates {
  int columns = 0;
  std::vector<std::size_t> first{0};  ///< of each row, one more at the end
  std::vector<int> column;            ///< each once per row
  std::vector<double> cost;           ///< finite, not negative

  int rows() const { return static_cast<int>(first.size()) - 1; }
  void add(int to_column, double at_cost) {
    column.push_back(to_column);
    cost.push_back(at_cost);
  }
  void end_row() { first.push_back(column.size()); }
};

struct Assignment {
  /// Per row: its columns, at most `ratio` of them, the cheapest first.
  std::vector<std::vector<int>> partners;
  int pairs = 0;
  double cost = 0;  ///< of all pairs
};

/// A column is used once, a row up to `ratio` times. First as many rows as
/// possible get one column, then as many as possible a second, and so on;
/// among all such pairings the cheapest. Throws std::logic_error for a cost
/// that is negative or not finite, a column out of range, or ratio < 1.
Assignment assign(const Candidates& candidates, int ratio = 1);

}  // namespace evenfeed
