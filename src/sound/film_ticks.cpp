// SPDX-License-Identifier: MIT
#include "sound/film_ticks.h"

#include "sound/sound_source.h"

#include <algorithm>

namespace evenfeed {
namespace {

constexpr double kSilence = 3e-5;  // rms, one step of 16 bits

}  // namespace

FilmTicks ticks_of_film(const std::filesystem::path& film,
                        const TickOptions& options) {
  SoundSource source(film);
  FilmTicks result;
  result.why_none = source.why_silent();
  if (!result.why_none.empty()) return result;
  TickFinder finder(options);
  bool any = false;
  while (const auto block = source.next()) {
    for (const Tick& tick : finder.add(*block)) result.ticks.push_back(tick);
    const double end_s =
        block->t_s +
        static_cast<double>(block->samples.size()) / block->rate_hz;
    result.from_s = any ? std::min(result.from_s, block->t_s) : block->t_s;
    result.until_s = any ? std::max(result.until_s, end_s) : end_s;
    any = true;
  }
  std::sort(result.ticks.begin(),
            result.ticks.end(),
            [](const Tick& a, const Tick& b) { return a.t_s < b.t_s; });
  if (!any) {
    result.why_none = "its sound cannot be decoded";
  } else if (finder.level() < kSilence) {
    result.why_none = "its sound track is silent";
    result.ticks.clear();
  } else if (result.ticks.empty()) {
    result.why_none = "no ticks are heard in its sound";
  }
  return result;
}

}  // namespace evenfeed
