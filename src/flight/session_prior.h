// SPDX-License-Identifier: MIT
// What is believed of the session's unknowns before any feed was seen.
#pragma once

#include "flight/flight_options.h"
#include "flight/session_terms.h"
#include "geometry/bench.h"

namespace evenfeed {

/// In units z in which the prior is the unit normal: s = mean + root z.
struct SessionPrior {
  SessionVector mean = SessionVector::Zero();
  SessionCovariance root = SessionCovariance::Zero();
};

/// `readout_s`: of a rolling shutter that the bench does not tell.
[[nodiscard]] SessionPrior session_prior(const Bench& bench,
                                         const FlightOptions& flight,
                                         const Prior& readout_s);

}  // namespace evenfeed
