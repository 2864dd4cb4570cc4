// SPDX-License-Identifier: MIT
// Flights from the side, to scale: how feeds came and what a sample sent back,
// over table and net.
#pragma once

#include "flight/flown_feed.h"
#include "geometry/surface.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace evenfeed {

/// Flights of one look.
struct SideFlights {
  std::string name;              ///< of whose they are, for titles; empty: none
  std::string_view style_class;  ///< the colour: keep, review
  std::vector<const FlownFeed*> flights;
};

/// What every caption of such a drawing has to say.
inline constexpr std::string_view kSideMarks =
    "Circle: bounce; square: contact with the sample; triangle: highest place; "
    "bar: where it passes the net. Thick: the mean return.";

/// Feeds thin, each return as far as its first landing, bounces, contacts,
/// highest places and net crossings as marks that tell their values on
/// hovering, and the mean return of each look: the mean height where at least
/// half of its returns are. Nothing when there is no flight.
[[nodiscard]] std::optional<std::string> side_view(
    const std::vector<SideFlights>& groups,
    const std::optional<Surface>& surface);

/// Those of `flights` that belong to these feeds, in their order.
[[nodiscard]] std::vector<const FlownFeed*> flights_of_feeds(
    const std::vector<FlownFeed>& flights, const std::vector<int>& feeds);

/// The mean height over x of these returns, mm; empty for fewer than two.
[[nodiscard]] std::vector<Eigen::Vector2d> mean_return_mm(
    const std::vector<const FlownFeed*>& flights);

}  // namespace evenfeed
