// SPDX-License-Identifier: MIT
#include "film/film_date.h"
#include "film/video_samples.h"
#include "film/video_source.h"
#include "fuzz/target.h"

#include <cstdlib>

#include <fmt/format.h>
#include <sys/mman.h>
#include <unistd.h>

namespace evenfeed::fuzz {

BytesAsFile::BytesAsFile(std::string_view bytes)
    : handle_(::memfd_create("evenfeed-fuzz", MFD_CLOEXEC)) {
  const auto written = ::write(handle_, bytes.data(), bytes.size());
  if (written != static_cast<ssize_t>(bytes.size())) std::abort();
}

BytesAsFile::~BytesAsFile() { ::close(handle_); }

std::filesystem::path BytesAsFile::path() const {
  return fmt::format("/proc/self/fd/{}", handle_);
}

std::vector<Target> film_targets() {
  std::vector<Target> all;
  all.push_back(
      {"film",
       {"tests/cli/input/no-table.mp4", "tests/cli/input/truncated.mp4"},
       [](const std::string& bytes) {
         const BytesAsFile file(bytes);
         (void)film_creation_time(file.path());
         VideoOptions options;
         options.decoder_threads = 1;
         VideoSource source(file.path(), options);
         for (int frame = 0; frame < 20 && source.next(); ++frame) {
         }
         (void)source.notes();
         (void)film_notes(file.path(), options);
       }});
  return all;
}

}  // namespace evenfeed::fuzz
