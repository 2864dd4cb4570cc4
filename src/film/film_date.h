// SPDX-License-Identifier: MIT
// When a film was taken, as its container says.
#pragma once

#include "base/date_time.h"

#include <filesystem>
#include <optional>

namespace evenfeed {

/// The creation time that cameras and telephones write into a film (UTC);
/// nullopt when there is none, when it is before 1990 (a clock that was never
/// set, an empty field), and when the file cannot be read as a film.
[[nodiscard]] std::optional<UnixSeconds> film_creation_time(
    const std::filesystem::path& film);

}  // namespace evenfeed
