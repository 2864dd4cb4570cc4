// SPDX-License-Identifier: MIT
// One page over several sessions: a table of contents with what each came to.
#pragma once

#include "report/report_input.h"

#include <string>
#include <vector>

namespace evenfeed {

struct IndexedSession {
  ReportInput input;    ///< with its provenance
  std::string address;  ///< of its page; empty: there is none
};

/// Newest first: date, launcher, sample, verdict, feeds, spread, link.
/// Everything that came from a file is escaped.
[[nodiscard]] std::string index_page(
    const std::string& title, const std::vector<IndexedSession>& sessions);

}  // namespace evenfeed
