// SPDX-License-Identifier: MIT
// A session folder as a session to be kept: what 'session' or 'store export'
// wrote is read back, so that it can be filed afterwards.
#pragma once

#include "session/provenance.h"
#include "session/session_record.h"
#include "session/shared_uncertainty.h"

#include <array>
#include <filesystem>
#include <string>
#include <vector>

namespace evenfeed {

/// What a session folder may hold and the program reads there by itself.
inline constexpr std::array<const char*, 8> kSessionFiles{"feeds.csv",
                                                          "tagged.csv",
                                                          "summary.json",
                                                          "flights.csv",
                                                          "session.json",
                                                          "bench.toml",
                                                          "profile.toml",
                                                          "baseline.json"};

/// The file of a feed's picture in the folder: "pictures/feed-012.jpg".
std::filesystem::path feed_picture(int feed);

/// Removes pictures of feeds that are not among `feeds` from the folder: those
/// of an older session with more of them.
void remove_other_pictures(const std::filesystem::path& folder,
                           const std::vector<int>& feeds);

/// The file as it is known again by: absolute path, size, SHA-256.
SourceFile source_of(const std::filesystem::path& file);

/// session.json of a session folder: which film it came from, when that was
/// filmed, by which profile it was judged, what is uncertain in all its feeds.
/// Describes sample and launcher too, as far as they were named.
std::string film_json(const Provenance& provenance,
                      const SharedUncertainty& shared);

/// What session.json of the folder tells; empty fields where there is none.
/// Throws InputError for one that cannot be read.
Provenance read_provenance(const std::filesystem::path& folder);

/// What session.json beside each feeds file tells of that; empty where there
/// is none, and for files that all come from one film.
std::vector<SharedUncertainty> shared_uncertainties(
    const std::vector<std::string>& feeds_files);

/// Everything the folder tells. `tagged.csv` must be there, and whether the
/// launcher was ready (summary.json, or session.json of an export). What is
/// not told stays empty: launcher and sample of a folder that 'session' wrote,
/// profile_text where there is no profile.toml, the source of a folder without
/// session.json. Throws InputError naming the file.
SessionRecord read_session_folder(const std::filesystem::path& folder);

}  // namespace evenfeed
