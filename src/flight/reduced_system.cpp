// SPDX-License-Identifier: MIT
#include "flight/reduced_system.h"

#include <cstddef>

namespace evenfeed {

ReducedSystem reduced_system(const std::vector<FeedEquations>& feeds) {
  ReducedSystem reduced;
  for (const FeedEquations& e : feeds) {
    const auto a_inverse_b = e.solve(e.b);
    reduced.information += e.c - e.b.transpose() * a_inverse_b;
    reduced.pull -= e.gs - a_inverse_b.transpose() * e.g;
    for (const auto& [stage, response] : e.errors) {
      const auto at = reduced.errors.try_emplace(
          stage, SharedResponses::mapped_type::Zero());
      at.first->second +=
          response.shared - a_inverse_b.transpose() * response.own;
    }
  }
  return reduced;
}

ClockEquations with_clock(const ReducedSystem& reduced,
                          const std::vector<FeedEquations>& feeds,
                          const std::vector<ClockColumn>& columns) {
  constexpr int kS = kSessionParameters;
  ClockEquations all;
  all.information.topLeftCorner<kS, kS>() = reduced.information;
  all.pull.head<kS>() = reduced.pull;
  for (const auto& [stage, answer] : reduced.errors) {
    auto& put = all.answers[stage];
    put.setZero();
    put.topRows<kS>() = answer;
  }
  for (std::size_t i = 0; i < feeds.size(); ++i) {
    const FeedEquations& e = feeds[i];
    const ClockColumn& clock = columns[i];
    const FlightVector own = e.solve(clock.own);
    const SessionVector with = clock.shared - e.b.transpose() * own;
    all.information.topRightCorner<kS, 1>() += with;
    all.information.bottomLeftCorner<1, kS>() += with.transpose();
    all.information(kS, kS) += clock.square - clock.own.dot(own);
    all.pull[kS] += clock.pull + own.dot(e.g);
    for (const auto& [stage, response] : e.errors) {
      all.answers[stage].row(kS) +=
          clock.errors.at(stage) - own.transpose() * response.own;
    }
  }
  return all;
}

}  // namespace evenfeed
