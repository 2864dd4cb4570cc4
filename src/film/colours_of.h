// SPDX-License-Identifier: MIT
// How a decoded picture stores its colours. Internal to film.
#pragma once

#include "film/colour_code.h"

struct AVFrame;

namespace evenfeed {

/// What the picture does not say is taken from its size, as players do.
[[nodiscard]] ColourCode colours_of(const AVFrame& picture);

}  // namespace evenfeed
