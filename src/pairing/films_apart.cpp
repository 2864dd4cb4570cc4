// SPDX-License-Identifier: MIT
#include "pairing/films_apart.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {
namespace {

Eigen::VectorXd moves_of(const SharedCause& cause,
                         const std::vector<std::string>& columns) {
  Eigen::VectorXd moves = Eigen::VectorXd::Zero(std::ssize(columns));
  for (Eigen::Index k = 0; k < moves.size(); ++k) {
    const auto found = cause.moves.find(columns[static_cast<std::size_t>(k)]);
    if (found != cause.moves.end()) moves(k) = found->second;
  }
  return moves;
}

// Its causes, or one for each column.
std::vector<SharedCause> causes_of(const SharedUncertainty& film,
                                   const char* only_of) {
  if (!film.causes.empty()) return film.causes;
  std::vector<SharedCause> causes;
  for (const auto& [column, sigma] : film.sigma) {
    causes.push_back({.name = column, .of = only_of, .moves{{column, sigma}}});
  }
  return causes;
}

}  // namespace

Eigen::MatrixXd films_apart(const SharedUncertainty& a,
                            const SharedUncertainty& b,
                            const std::vector<std::string>& columns) {
  const auto p = std::ssize(columns);
  Eigen::MatrixXd apart = Eigen::MatrixXd::Zero(p, p);
  const auto add = [&](const Eigen::VectorXd& moves, double weight) {
    apart += weight * moves * moves.transpose();
  };
  std::vector<SharedCause> only_b = causes_of(b, "second film");
  for (const SharedCause& cause : causes_of(a, "first film")) {
    const Eigen::VectorXd of_a = moves_of(cause, columns);
    const auto other =
        std::find_if(only_b.begin(), only_b.end(), [&](const SharedCause& one) {
          return one.same_as(cause);
        });
    if (other == only_b.end()) {
      add(of_a, 1);
      continue;
    }
    const Eigen::VectorXd of_b = moves_of(*other, columns);
    add(of_a - of_b, 1);
    add((of_a + of_b) / 2,
        cause.spread * other->spread / (cause.sd * other->sd));
    only_b.erase(other);
  }
  for (const SharedCause& cause : only_b) add(moves_of(cause, columns), 1);
  return apart;
}

}  // namespace evenfeed
