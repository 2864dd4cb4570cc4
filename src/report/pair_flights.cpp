// SPDX-License-Identifier: MIT
#include "report/pair_flights.h"

#include "base/as_index.h"
#include "base/counted.h"
#include "report/pair_charts.h"
#include "report/side_view.h"

#include <fmt/format.h>

namespace evenfeed {
namespace {

SideFlights matched_flights(const PairInput& input,
                            int sample,
                            std::string_view style_class) {
  const PairSource* source = input.source_of(sample);
  if (source == nullptr) return {};
  std::vector<int> feeds;
  for (const int i : matched_feeds(input.comparison, sample)) {
    feeds.push_back(
        input.comparison.samples[as_index(sample)].feeds[as_index(i)]);
  }
  return {input.comparison.samples[as_index(sample)].name,
          style_class,
          flights_of_feeds(source->flights, feeds)};
}

}  // namespace

std::optional<Drawing> pair_flights_drawing(const PairInput& input,
                                            const PairBalance& two) {
  const SideFlights a = matched_flights(input, two.a, "keep");
  const SideFlights b = matched_flights(input, two.b, "review");
  if (a.flights.empty() || b.flights.empty()) return std::nullopt;
  auto svg = side_view({a, b}, input.surface);
  if (!svg) return std::nullopt;
  return Drawing{
      pair_file_name(input.comparison, "flights", "side", two.a, two.b),
      fmt::format(
          "{} and {}: matched feeds and what came back, from the side, mm",
          a.name,
          b.name),
      fmt::format("{} of {} (blue, full lines) and {} of {} (brown, "
                  "dashed) that found a partner, to scale, the launcher to "
                  "the left; each return as far as its first landing. {}",
                  counted(std::ssize(a.flights), "feed"),
                  a.name,
                  b.flights.size(),
                  b.name,
                  kSideMarks),
      std::move(*svg),
      kMapLetter};
}

}  // namespace evenfeed
