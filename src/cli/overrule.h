// SPDX-License-Identifier: MIT
// Verdicts of one's own: somebody looked at a feed and knows better.
#pragma once

#include "base/csv.h"
#include "quality/qualification.h"

namespace evenfeed {

/// `table` has the columns feed, verdict and note, a row per feed. The verdict
/// takes the place of the one that was found; that one, and the note, become
/// the first of the feed's reasons, and a warning names every such feed: a
/// verdict by hand is never silent. Throws InputError naming file and line for
/// a feed that is not there or stands twice, a word that is no verdict, and an
/// empty note.
void overrule(Qualification& result, const CsvTable& table);

/// What can be said of the table before there are feeds: throws the same for
/// all but a feed that is not there.
void check_overrules(const CsvTable& table);

}  // namespace evenfeed
