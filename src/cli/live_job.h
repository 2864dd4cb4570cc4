// SPDX-License-Identifier: MIT
// What 'live' holds while it runs; cmd_live.cpp begins and ends it,
// cmd_live_run.cpp does what lies between.
#pragma once

#include "cli/cmd_live.h"
#include "cli/profile_lookup.h"
#include "cli/session_output.h"
#include "live/live_desk.h"
#include "live/live_run.h"
#include "live/order_sheet.h"

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

struct LiveJob {
  std::optional<CutOff> cut_off;
  std::string order_text;  ///< of the sheet that is followed
  NamedText profile_text;
  Profile profile;
  Judging judging;
  std::filesystem::path out;
  StagedFolder staged;
  EngineOptions options = {};
  std::optional<FeedPictures> pictures = {};
  CalibrationResult calibrated = {};
  Bench bench = {};
  std::vector<Frame> opening = {};  // stills, once they were looked at
  OrderSheet order = {};
  bool silent = false;                // what is told was told before
  std::filesystem::path record = {};  // of the camera
  std::unique_ptr<VideoSource> rehearsal = {};
  std::unique_ptr<LiveRun> run = {};
  std::unique_ptr<LiveDesk> desk = {};      // asks it, and goes first
  std::unique_ptr<LiveCamera> camera = {};  // tells both
};

}  // namespace evenfeed
