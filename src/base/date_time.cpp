// SPDX-License-Identifier: MIT
#include "base/date_time.h"

#include <chrono>

#include <fmt/format.h>

namespace evenfeed {
namespace {

namespace ch = std::chrono;

// Digits only, exactly as many; -1 otherwise.
int digits(std::string_view text, std::size_t at, std::size_t count) {
  if (at + count > text.size()) return -1;
  int value = 0;
  for (const char c : text.substr(at, count)) {
    if (c < '0' || c > '9') return -1;
    value = value * 10 + (c - '0');
  }
  return value;
}

// "15:30" or "15:30:05" as seconds of the day; -1 otherwise.
int seconds_of_day(std::string_view text) {
  if (text.size() != 5 && text.size() != 8) return -1;
  const int hour = digits(text, 0, 2);
  const int minute = digits(text, 3, 2);
  const int second = text.size() == 8 ? digits(text, 6, 2) : 0;
  const bool colons = text[2] == ':' && (text.size() == 5 || text[5] == ':');
  if (!colons || hour < 0 || hour > 23 || minute < 0 || minute > 59 ||
      second < 0 || second > 59) {
    return -1;
  }
  return hour * 3600 + minute * 60 + second;
}

}  // namespace

std::optional<UnixSeconds> parse_date_time(std::string_view text) {
  if (!text.empty() && text.back() == 'Z') text.remove_suffix(1);
  const int year = digits(text, 0, 4);
  const int month = digits(text, 5, 2);
  const int day = digits(text, 8, 2);
  if (year < 1970 || month < 0 || day < 0 || text[4] != '-' || text[7] != '-') {
    return std::nullopt;
  }
  const ch::year_month_day date(ch::year(year),
                                ch::month(static_cast<unsigned>(month)),
                                ch::day(static_cast<unsigned>(day)));
  if (!date.ok()) return std::nullopt;
  int second = 0;
  if (text.size() > 10) {
    if (text[10] != 'T' && text[10] != ' ') return std::nullopt;
    second = seconds_of_day(text.substr(11));
    if (second < 0) return std::nullopt;
  }
  const auto days = ch::sys_days(date).time_since_epoch().count();
  return UnixSeconds{days} * 86400 + second;
}

std::string date_time_text(UnixSeconds when) {
  const ch::sys_seconds at{ch::seconds(when)};
  const auto midnight = ch::floor<ch::days>(at);
  const ch::year_month_day date(midnight);
  const ch::hh_mm_ss<ch::seconds> time(at - midnight);
  return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}Z",
                     static_cast<int>(date.year()),
                     static_cast<unsigned>(date.month()),
                     static_cast<unsigned>(date.day()),
                     time.hours().count(),
                     time.minutes().count(),
                     time.seconds().count());
}

std::string date_text(UnixSeconds when) {
  return date_time_text(when).substr(0, 10);
}

UnixSeconds now_unix() {
  return ch::floor<ch::seconds>(ch::system_clock::now())
      .time_since_epoch()
      .count();
}

}  // namespace evenfeed
