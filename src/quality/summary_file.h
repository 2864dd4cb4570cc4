// SPDX-License-Identifier: MIT
// What was decided of a session, as summary.json.
#pragma once

#include "quality/qualification.h"

#include <string>

namespace evenfeed {

/// The text of summary.json: ready, ready_at_feed, stable_from_feed,
/// too_few, holding_back[], evenness[{characteristic, sd, interval[2],
/// allowed}], feeds, characteristics[], baseline{n, mean{}, sd{},
/// correlation[][], given, provisional}, signals[{feed, chart,
/// characteristic, value, limit, changed_at_feed, interval[2], misfeed}],
/// gauge{name: ratio}, launcher_sd{}, settling[{characteristic, tau_feeds,
/// amplitude}], balls[{characteristic, ball, launcher, gauge, probability,
/// off[]}], counts{keep, review, discard}, warnings[], charts[{chart,
/// characteristic, centre, lambda, feeds[], values[], lower[], upper[]}], and
/// of a film that was listened to sound{used, bounces, heard, contacts,
/// contacts_heard, late_ms, drift_ppm, st_seen_ms, st_ms, sx_seen_mm, sx_mm,
/// words}.
std::string summary_text(const Qualification& result);

}  // namespace evenfeed
