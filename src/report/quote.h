// SPDX-License-Identifier: MIT
// The result as a few sentences to be copied into a text, under a film or into
// a letter: what, how many, how far it scatters, how sure, which program.
#pragma once

#include "report/pair_input.h"
#include "report/report_input.h"
#include "wear/wear.h"

#include <string>

namespace evenfeed {

[[nodiscard]] std::string report_quote(const ReportInput& input);
[[nodiscard]] std::string pair_quote(const PairInput& input);
[[nodiscard]] std::string wear_quote(const WearResult& result);

/// A section with that text, which one click selects as a whole; it needs no
/// script.
[[nodiscard]] std::string quote_section(const std::string& quote);

}  // namespace evenfeed
