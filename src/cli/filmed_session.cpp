// SPDX-License-Identifier: MIT
#include "cli/filmed_session.h"

#include "base/error.h"
#include "base/sha256.h"
#include "session/session_folder.h"

#include <algorithm>
#include <cstdint>

#include <fmt/format.h>

namespace evenfeed {

namespace fs = std::filesystem;

namespace {

// Size first: a large film is not read through to learn that it is another.
void require_film_of(const fs::path& film,
                     const fs::path& folder,
                     const SourceFile& source) {
  if (source.sha256.empty()) {
    throw InputError(folder.string(),
                     "it does not tell which film it came from (no "
                     "session.json)",
                     "Give the folder that 'evenfeed session' wrote");
  }
  const std::string mend =
      "Give the film the session was measured from: " + source.path;
  std::error_code none;
  if (!fs::is_regular_file(film, none)) {
    throw InputError(film.string(), "there is no such film", mend);
  }
  const auto bytes = static_cast<std::int64_t>(fs::file_size(film, none));
  if (source.bytes > 0 && bytes != source.bytes) {
    throw InputError(
        film.string(),
        fmt::format("this is not the film of {}: it has {} bytes, that one "
                    "had {}",
                    folder.string(),
                    bytes,
                    source.bytes),
        mend);
  }
  if (sha256_of_file(film) != source.sha256) {
    throw InputError(film.string(),
                     fmt::format("this is not the film of {}: its SHA-256 is "
                                 "another",
                                 folder.string()),
                     mend);
  }
}

}  // namespace

const JudgedFeed& feed_of(const ReportInput& session,
                          int number,
                          std::string_view option) {
  const auto found = std::find_if(
      session.feeds.begin(), session.feeds.end(), [&](const JudgedFeed& one) {
        return one.feed.number == number;
      });
  if (found != session.feeds.end()) return *found;
  if (session.feeds.empty()) {
    throw InputError("--from", "this session has no feeds", "Film some");
  }
  throw InputError(fmt::format("{} {}", option, number),
                   "there is no such feed in the session",
                   fmt::format("Its feeds are {} to {}",
                               session.feeds.front().feed.number,
                               session.feeds.back().feed.number));
}

const FlownFeed* flight_of(const FilmedSession& filmed, int number) {
  const auto found = std::find_if(
      filmed.flights.begin(), filmed.flights.end(), [&](const FlownFeed& one) {
        return one.number == number && !one.path.empty();
      });
  return found == filmed.flights.end() ? nullptr : &*found;
}

FilmedSession filmed_session(const fs::path& film,
                             const fs::path& folder,
                             const ReportInput& session) {
  const Provenance provenance = read_provenance(folder);
  require_film_of(film, folder, provenance.head.source);
  if (!session.bench) {
    throw InputError(folder.string(),
                     "there is no bench.toml in it",
                     "Give the folder that 'evenfeed session' wrote");
  }
  if (session.flights.empty()) {
    throw InputError(folder.string(),
                     "there is no flight in it (flights.csv)",
                     "Measure the film again with 'evenfeed session': older "
                     "versions did not write it");
  }
  FilmedSession filmed;
  filmed.sample = provenance.head.sample;
  filmed.camera = session.bench->camera;
  filmed.flights = session.flights;
  if (provenance.film.slow > 0) filmed.film_slow = provenance.film.slow;
  return filmed;
}

}  // namespace evenfeed
