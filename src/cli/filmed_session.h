// SPDX-License-Identifier: MIT
// A session folder together with its film, for commands that show feeds in the
// film.
#pragma once

#include "flight/flown_feed.h"
#include "geometry/camera_model.h"
#include "report/report_input.h"

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace evenfeed {

struct FilmedSession {
  std::string sample;  ///< as named; empty when it was not
  CameraModel camera;
  std::vector<FlownFeed> flights;
  /// What the film's times were divided by when it was measured (VideoInfo).
  std::optional<double> film_slow;
};

/// `session`: load_report_input() of the folder. Throws InputError when `film`
/// is not the one the folder was measured from (size and SHA-256), and when the
/// folder lacks its bench or its flights.
[[nodiscard]] FilmedSession filmed_session(const std::filesystem::path& film,
                                           const std::filesystem::path& folder,
                                           const ReportInput& session);

/// `option` is named when the feed is not there; throws InputError then.
[[nodiscard]] const JudgedFeed& feed_of(const ReportInput& session,
                                        int number,
                                        std::string_view option);

/// That feed's flight; nullptr when it was not fitted.
[[nodiscard]] const FlownFeed* flight_of(const FilmedSession& filmed,
                                         int number);

}  // namespace evenfeed
