// SPDX-License-Identifier: MIT
// A time of a film, for people.
#pragma once

#include <string>

namespace evenfeed {

/// Minutes and seconds: "1:02.5".
[[nodiscard]] std::string film_time(double t_s);

}  // namespace evenfeed
