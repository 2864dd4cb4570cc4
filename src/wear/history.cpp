// SPDX-License-Identifier: MIT
#include "wear/history.h"

#include "base/sha256.h"
#include "session/setup_setting.h"
#include "session/temperature.h"

#include <charconv>
#include <limits>

namespace evenfeed {
namespace {

double number_in(const std::string& text) {
  double value = 0;
  const char* end = text.data() + text.size();
  const auto read = std::from_chars(text.data(), end, value);
  return read.ec == std::errc() && read.ptr == end
             ? value
             : std::numeric_limits<double>::quiet_NaN();
}

}  // namespace

bool breaks(ServiceKind kind, Measure measure) {
  switch (kind) {
    case ServiceKind::kWheelCleaned:
    case ServiceKind::kWheelReplaced:
      return measure != Measure::kInterval;
    case ServiceKind::kMotorServiced:
      return measure != Measure::kInterval && measure != Measure::kHeading;
    case ServiceKind::kNewBalls:
      return measure != Measure::kInterval && measure != Measure::kHeading &&
             measure != Measure::kDrift;
    case ServiceKind::kLauncherMoved:
      return measure == Measure::kHeading;
  }
  return true;
}

HistoryBuilder::HistoryBuilder(std::string launcher,
                               const std::vector<ServiceEvent>& events,
                               int fewest_feeds)
    : events_(events), fewest_feeds_(fewest_feeds) {
  history_.launcher = std::move(launcher);
}

void HistoryBuilder::add_events_until(UnixSeconds when) {
  for (; next_event_ < events_.size() && events_[next_event_].at <= when;
       ++next_event_) {
    const ServiceEvent& event = events_[next_event_];
    history_.feeds += event.unfilmed_feeds;
    history_.events.push_back({event.kind,
                               event.at,
                               event.item,
                               event.note,
                               history_.feeds,
                               static_cast<int>(history_.sessions.size())});
  }
}

void HistoryBuilder::add(const SessionSeries& series) {
  add_events_until(series.head.started_at);
  WearSession session;
  session.id = series.head.id;
  session.started_at = series.head.started_at;
  session.feeds = static_cast<int>(series.feeds.size());
  session.feeds_before = history_.feeds;
  session.ready = series.head.ready;
  session.program_version = series.head.program_version;
  if (!series.bench.empty()) session.setup = sha256_of(series.bench);
  for (const Property& one : series.settings) {
    if (one.key == kSetupSetting) {
      session.setup = "name " + one.value;
      continue;
    }
    if (one.key == kTemperatureSetting) {
      session.temperature_C = number_in(one.value);
      continue;
    }
    session.settings +=
        (session.settings.empty() ? "" : ", ") + one.key + " = " + one.value;
  }
  session.values = summarise(series, fewest_feeds_);
  history_.feeds += session.feeds;
  history_.sessions.push_back(std::move(session));
}

WearHistory HistoryBuilder::finish() {
  add_events_until(std::numeric_limits<UnixSeconds>::max());
  return std::move(history_);
}

}  // namespace evenfeed
