// SPDX-License-Identifier: MIT
// The camera of 'live': what is asked of it on the command line, its stream and
// record, and who is told when it goes away or the disk fills.
#pragma once

#include "cli/arguments.h"
#include "film/stream_source.h"
#include "live/disk_watch.h"
#include "live/live_run.h"

#include <atomic>
#include <filesystem>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

namespace evenfeed {

/// In the folder of a live session.
inline constexpr const char* kLiveFilm = "film.mkv";

struct LiveCameraArgs {
  std::string address;
  std::string size;  ///< "1280x720"
  double rate_hz = 0;

  void setup(Arguments& args);
  [[nodiscard]] bool given() const { return !address.empty(); }
  /// Throws UsageError.
  [[nodiscard]] StreamOptions options() const;
  void take(const StreamOptions& options);
};

class LiveCamera {
 public:
  /// Opens it and records into `folder` from then on. Throws InputError.
  LiveCamera(const StreamOptions& options,
             const std::filesystem::path& folder,
             double begin_s,
             int begin_index,
             const std::atomic<bool>& stop);
  ~LiveCamera();
  LiveCamera(const LiveCamera&) = delete;
  LiveCamera& operator=(const LiveCamera&) = delete;

  /// The film as far as it has come, when it is so long.
  std::filesystem::path film_of(double length_s);
  /// From now on that is told what happens, and what has happened.
  void report_to(LiveEngine& engine);
  [[nodiscard]] LiveFrames frames(std::vector<Frame> opening);
  /// No more frames, and the film whole: what is to be said of it.
  std::vector<std::string> close();

 private:
  void tell(const StreamNews& news);
  bool may_record();

  std::mutex mutex_;
  LiveEngine* engine_ = nullptr;
  std::vector<StreamNews> untold_;
  DiskWatch disk_;
  std::unique_ptr<StreamSource> source_;  // calls the others, and goes first
};

}  // namespace evenfeed
