// SPDX-License-Identifier: MIT
#include "pictures/matched_pair.h"

#include "pictures/flown_part.h"

#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr double k95 = 1.96;  // of a normal distribution, two-sided

Measured returned(const PairedTrial& trial, ReturnValue id) {
  return trial.feed.returned[static_cast<std::size_t>(id)];
}

bool known(const Measured& value) { return std::isfinite(value.value); }

// "12 ms (±1) earlier"
std::string apart(const Measured& a,
                  const Measured& b,
                  double scale,
                  int decimals,
                  const char* unit,
                  const char* less,
                  const char* more) {
  const double by = scale * (a.value - b.value);
  const double error = scale * k95 * std::hypot(a.sigma, b.sigma);
  const std::string sure =
      std::isfinite(error) ? fmt::format(" (±{:.{}f})", error, decimals) : "";
  return fmt::format("{:.{}f} {}{} {}",
                     std::abs(by),
                     decimals,
                     unit,
                     sure,
                     by < 0 ? less : more);
}

// Of which of the two something is not known; empty: of neither.
std::string lacking(const MatchedPair& pair, ReturnValue id) {
  for (const PairedTrial& trial : pair) {
    if (!known(returned(trial, id))) return trial.sample;
  }
  return {};
}

bool of_neither(const MatchedPair& pair, ReturnValue id) {
  return !known(returned(pair[0], id)) && !known(returned(pair[1], id));
}

std::string net_words(const MatchedPair& pair) {
  const std::string without = lacking(pair, ReturnValue::kNetTime);
  if (!without.empty()) {
    return fmt::format("at the net: {} was not seen to pass it", without);
  }
  return fmt::format("at the net: {} {}, {}",
                     pair[0].sample,
                     apart(returned(pair[0], ReturnValue::kNetTime),
                           returned(pair[1], ReturnValue::kNetTime),
                           1000,
                           1,
                           "ms",
                           "earlier",
                           "later"),
                     apart(returned(pair[0], ReturnValue::kNetHeight),
                           returned(pair[1], ReturnValue::kNetHeight),
                           1,
                           0,
                           "mm",
                           "lower",
                           "higher"));
}

std::string both_words(const MatchedPair& pair,
                       ReturnValue id,
                       const char* what,
                       int decimals,
                       const char* unit) {
  std::string words = what;
  for (const PairedTrial& trial : pair) {
    const Measured value = returned(trial, id);
    words += fmt::format(
        "{} {} {}",
        &trial == &pair[0] ? "" : ",",
        trial.sample,
        known(value) ? fmt::format("{:.{}f} {}", value.value, decimals, unit)
                     : "not known");
  }
  return words;
}

}  // namespace

std::optional<double> PairedTrial::contact_s() const {
  const auto contact = marked_point(flown, FlightMark::kContact);
  if (!contact) return std::nullopt;
  return contact->t_s;
}

std::string why_not_together(const MatchedPair& pair) {
  for (const PairedTrial& trial : pair) {
    if (!trial.contact_s()) {
      return fmt::format("feed {} of {} was not seen to meet the sample",
                         trial.feed.number,
                         trial.sample);
    }
  }
  return {};
}

std::vector<std::string> difference_words(const MatchedPair& pair) {
  std::vector<std::string> words;
  if (!of_neither(pair, ReturnValue::kNetTime))
    words.push_back(net_words(pair));
  if (!of_neither(pair, ReturnValue::kApex)) {
    words.push_back(both_words(pair, ReturnValue::kApex, "highest:", 0, "mm"));
  }
  if (!of_neither(pair, ReturnValue::kSpeed)) {
    words.push_back(
        both_words(pair, ReturnValue::kSpeed, "sent back at:", 2, "m/s"));
  }
  return words;
}

}  // namespace evenfeed
