// SPDX-License-Identifier: MIT
// Keeps and tells what the engine says: journal first, then the page. Wishes of
// the page (the trial log) go the same way.
#pragma once

#include "live/bench_server.h"
#include "live/journal.h"
#include "live/live_event.h"
#include "live/order_sheet.h"
#include "live/state_json.h"
#include "live/trial_log.h"
#include "pipeline/profile.h"

#include <filesystem>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

struct FrameSightings;

/// In the folder of a live session, beside what session writes.
inline constexpr const char* kJournalFile = "journal.jsonl";
inline constexpr const char* kFrameLogFile = "sightings.log";

/// What was begun, as the journal has it.
struct LiveBegin {
  std::string film;           ///< --rehearse
  std::string profile;        ///< as it was named
  std::string bench;          ///< text of bench.toml
  bool of_this_film = false;  ///< the bench was calibrated on it
  std::string stream = {};    ///< its address; then `film` is its record
  int width_px = 0;           ///< asked of it
  int height_px = 0;
  double rate_hz = 0;
  std::string order = {};  ///< the sheet that is followed, as its file has it
};

/// A live session that was cut off.
struct CutOff {
  LiveBegin begin;
  bool ended = false;  ///< it was not: it came to its end
  TrialLog log;
  int feeds = 0;  ///< told until then
  std::vector<std::string> frames;
};
/// nullopt when the folder holds none. Throws InputError for a journal that
/// cannot be read.
[[nodiscard]] std::optional<CutOff> read_cut_off(
    const std::filesystem::path& folder);

class LiveDesk {
 public:
  using Now = std::function<std::shared_ptr<const BenchState>()>;

  /// Goes on in the folder's journal, or begins one.
  LiveDesk(const std::filesystem::path& folder,
           const Profile& profile,
           TrialLog log,
           OrderSheet order,
           Now now);
  ~LiveDesk();
  LiveDesk(const LiveDesk&) = delete;
  LiveDesk& operator=(const LiveDesk&) = delete;

  void begin(const LiveBegin& begin);
  void resumed(double t_s, int feeds);
  void open_page(const ServerOptions& options);
  [[nodiscard]] std::string page_address() const;

  void event(const LiveEvent& event);
  void frame(const FrameSightings& frame);
  /// Everything is written: the pages are told.
  void end();

  /// Why it cannot be done; empty when it was.
  std::string act(const std::string& wish_json);
  std::string act(const LogWish& wish);
  /// Where the order sheet is, in a line; empty without one.
  [[nodiscard]] std::string order_words() const;
  [[nodiscard]] TrialLog log() const;

 private:
  void tell(const std::string& kind, const std::string& json);
  std::string entry_of(const LogWish& wish,
                       const BenchState& state,
                       LogEntry& entry) const;

  const Profile& profile_;
  Now now_;
  mutable std::mutex mutex_;
  Journal journal_;
  Journal frames_;
  TrialLog log_;
  const OrderSheet order_;
  double beat_s_ = -1e9;
  double t_s_ = 0;
  std::unique_ptr<BenchServer> server_;
};

}  // namespace evenfeed
