// SPDX-License-Identifier: MIT
// What a session leaves uncertain in all of its feeds, as session.json tells
// it.
#pragma once

#include "flight/session_fit.h"
#include "session/provenance.h"
#include "session/shared_uncertainty.h"

#include <string>

namespace evenfeed {

/// `bench`: the text of the bench that was measured with, by which its camera
/// is known again.
[[nodiscard]] SharedUncertainty shared_uncertainty(const SessionFit& fit,
                                                   const Provenance& from,
                                                   const std::string& bench);

}  // namespace evenfeed
