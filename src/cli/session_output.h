// SPDX-License-Identifier: MIT
// From a measured session to its folder: what 'session' and 'live' write, and
// what they say at the end.
#pragma once

#include "cli/filing_args.h"
#include "cli/judging_args.h"
#include "cli/profile_lookup.h"
#include "cli/written_files.h"
#include "live/trial_log.h"
#include "pictures/feed_pictures.h"
#include "pipeline/measurement.h"
#include "quality/qualification.h"
#include "session/provenance.h"

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace evenfeed {

class StagedFolder;

/// What was seen of a film that could not be calibrated. Beside an older
/// session, whose own overlay.png stays.
inline constexpr const char* kRefusedPicture = "refused.png";

/// The files that appear in the folder, for JobFiles.
std::vector<std::string_view> session_file_names();

/// What each frame is looked at for, if pictures are wanted.
Onlooker onlooker_of(std::optional<FeedPictures>& pictures);

/// What is to be written about; all of it outlives the writing.
struct MeasuredSession {
  std::filesystem::path film;
  const NamedText& profile_text;
  const Profile& profile;
  const Bench& bench;
  const Measurement& measurement;
  /// Told before those of the measurement and of the judging.
  std::vector<std::string> warnings;
  bool doubtful_only = false;  ///< pictures
  /// What was said of each feed at the bench; none: nobody kept a log.
  std::vector<FeedLog> log = {};
};

struct WrittenSession {
  Qualification result;
  Provenance provenance;
  Bench used;  ///< with the exposure that was found
  Filed filed;
};

/// Judges, writes everything into `staged` and lets it take its place in `out`,
/// then files it where that is wanted.
WrittenSession write_session(const MeasuredSession& session,
                             const Judging& judging,
                             FilingArgs& filing,
                             std::optional<FeedPictures>& pictures,
                             StagedFolder& staged,
                             const std::filesystem::path& out);

/// The verdict first, then how it came about, what lies where, what to do next.
struct LastWords {
  std::filesystem::path out;
  bool verbose = false;
  bool with_overlay = false;
  std::string pictures = "all";
  std::vector<WrittenFile> more_files = {};
};
[[nodiscard]] std::vector<WrittenFile> session_written(const LastWords& last);
std::string words_at_the_end(const WrittenSession& session,
                             const Measurement& measurement,
                             const LastWords& last);

}  // namespace evenfeed
