// SPDX-License-Identifier: MIT
#include "cli/wanted_size.h"

#include "base/error.h"

#include <charconv>

namespace evenfeed {
namespace {

constexpr int kLeast_px = 16;
constexpr int kMost_px = 16384;

bool within(int px) { return px >= kLeast_px && px <= kMost_px; }

}  // namespace

WantedSize wanted_size(const std::string& option, const std::string& text) {
  WantedSize size;
  const char* end = text.data() + text.size();
  const auto [x, wrong] = std::from_chars(text.data(), end, size.width_px);
  if (wrong == std::errc() && x != end && *x == 'x') {
    const auto [rest, no] = std::from_chars(x + 1, end, size.height_px);
    if (no == std::errc() && rest == end && within(size.width_px) &&
        within(size.height_px)) {
      return size;
    }
  }
  throw UsageError(option + " " + text +
                   ": give width and height in pixels, as 1280x720");
}

}  // namespace evenfeed
