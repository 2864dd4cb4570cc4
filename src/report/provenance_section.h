// SPDX-License-Identifier: MIT
// Whose numbers a page shows: film, date, launcher, sample, program.
#pragma once

#include "report/report_input.h"

#include <string>

namespace evenfeed {

/// "Launcher bench-A, sample sheet K, filmed 2026-03-14, evenfeed 0.3.0.": what
/// stands below every drawing; the session's title for want of names.
[[nodiscard]] std::string provenance_words(const ReportInput& input);

/// The list of the section: a <dl> of what is known of one session; empty when
/// nothing is. `declared_here` is what somebody says of its sample now.
[[nodiscard]] std::string provenance_list(
    const Provenance& from,
    const std::string& sound,
    const std::string& declared_here = {});

/// A list of what is known; empty when nothing is. Everything is escaped.
[[nodiscard]] std::string provenance_section(const ReportInput& input);

}  // namespace evenfeed
