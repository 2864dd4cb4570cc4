// SPDX-License-Identifier: MIT
// What a tester must know before trusting a session's numbers.
#pragma once

#include <string>
#include <vector>

namespace evenfeed {

struct SessionFit;

/// Plain sentences, empty when nothing is wrong: a camera that cannot see the
/// bounce well enough (standard uncertainty above a third of the spread), a
/// launcher out of view, air, spin or bounce more than three sd from what the
/// profile believes (one sentence for all), feeds without numbers.
[[nodiscard]] std::vector<std::string> session_warnings(const SessionFit& fit);

}  // namespace evenfeed
