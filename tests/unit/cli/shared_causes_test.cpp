// SPDX-License-Identifier: MIT
#include "cli/shared_causes.h"

#include <algorithm>
#include <cmath>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

SessionFit with_returns(double clock) {
  SessionFit fit;
  fit.common.clock = clock;
  fit.common.sigma.fill(0.1);
  CommonCause cause;
  cause.name = clock > 0 ? kFilmsClock : "drag";
  cause.moves.fill(0.01);
  fit.common.causes.push_back(cause);
  for (const double mps : {4.0, 5.0, 6.0}) {
    Feed feed;
    feed.returned[static_cast<std::size_t>(ReturnValue::kSpeed)] = {mps, 0.01};
    feed.returned[static_cast<std::size_t>(ReturnValue::kNetTime)] = {1 / mps,
                                                                      0.001};
    fit.feeds.push_back(feed);
  }
  return fit;
}

const SharedCause& cause_named(const SharedUncertainty& shared,
                               std::string_view name) {
  const auto at = std::find_if(
      shared.causes.begin(), shared.causes.end(), [&](const auto& one) {
        return one.name == name;
      });
  REQUIRE(at != shared.causes.end());
  return *at;
}

}  // namespace

TEST_CASE("a film that may play slower has returns that may be faster") {
  const SharedUncertainty known =
      shared_uncertainty(with_returns(0), {}, "bench");
  const SharedUncertainty unknown =
      shared_uncertainty(with_returns(0.02), {}, "bench");
  const SharedCause& clock = cause_named(unknown, kFilmsClock);
  CHECK(clock.moves.at("ret_speed_mps") == doctest::Approx(0.02 * 5));
  CHECK(clock.moves.at("ret_t_net_s") == doctest::Approx(-0.02 * 0.2));
  CHECK(unknown.in("ret_speed_mps") ==
        doctest::Approx(std::hypot(known.in("ret_speed_mps"), 0.1)));
  CHECK(unknown.in("ret_angle_deg") == known.in("ret_angle_deg"));
  CHECK(clock.of == "film ");
  CHECK(cause_named(known, "drag").moves.count("ret_speed_mps") == 0);
}

TEST_CASE("what moves returns alike is told by its cause") {
  SessionFit fit = with_returns(0);
  constexpr auto at = static_cast<std::size_t>(ReturnValue::kApex);
  fit.common.causes[0].moves_returned[at] = -3;
  fit.common.sigma_returned[at] = 4;
  fit.common.sigma_returned[at + 1] = std::nan("");
  const SharedUncertainty shared = shared_uncertainty(fit, {}, "bench");
  CHECK(cause_named(shared, "drag").moves.at("ret_apex_mm") == -3);
  CHECK(shared.in("ret_apex_mm") == 4);
  CHECK_FALSE(shared.sigma.contains("ret_apex_x_mm"));
}
