// SPDX-License-Identifier: MIT
#include "cli/doctor_findings.h"

#include "base/counted.h"
#include "live/disk_watch.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

// A second is short and other work comes between: less than this is luck.
constexpr double kWithRoom = 1.5;
constexpr double kJust = 1.1;
constexpr double kShort_min = 60;
constexpr double kGiga = 1e9;

std::string size_text(const WantedSize& size) {
  return fmt::format("{}x{}", size.width_px, size.height_px);
}

std::string rates_text(const CaptureSize& size) {
  std::string text = fmt::format("{}x{}", size.width_px, size.height_px);
  if (size.rates_hz.empty()) return text;
  return text + fmt::format(" at {:.4g}", size.rates_hz.front());
}

// The largest sizes, each with its fastest rate.
std::string format_text(const CaptureFormat& format) {
  constexpr std::size_t kShown = 4;
  std::vector<std::string> sizes;
  for (const CaptureSize& one : format.sizes) {
    if (sizes.size() == kShown) break;
    sizes.push_back((one.any_below ? "up to " : "") + rates_text(one));
  }
  const std::size_t more = format.sizes.size() - sizes.size();
  return fmt::format("{} {}{}",
                     format.code,
                     fmt::join(sizes, ", "),
                     more > 0 ? fmt::format(" and {} more", more) : "");
}

Finding camera_finding(const Examination& seen, const CaptureDevice& device) {
  Finding found{"cameras", Health::kGood, device.file.string(), ""};
  if (!device.name.empty()) found.words += " (" + device.name + ")";
  if (!device.problem.empty()) {
    found.health = Health::kLimited;
    found.words += ": " + device.problem;
    found.mend = device.mend;
    return found;
  }
  std::vector<std::string> formats;
  for (const CaptureFormat& one : device.formats) {
    formats.push_back(format_text(one));
  }
  found.words += fmt::format(": {}", fmt::join(formats, "; "));
  const CaptureFormat* fit =
      format_for(device, seen.size.width_px, seen.size.height_px, seen.rate_hz);
  if (fit == nullptr) {
    found.health = Health::kLimited;
    found.words +=
        fmt::format("; not {} at {:g}", size_text(seen.size), seen.rate_hz);
    found.mend = "Ask for one of these sizes and rates (--size, --rate)";
    return found;
  }
  found.mend = fmt::format("evenfeed live {} --size {} --rate {:g} --out today",
                           device.file.string(),
                           size_text(seen.size),
                           seen.rate_hz);
  return found;
}

void add_cameras(const Examination& seen, std::vector<Finding>& findings) {
  for (const CaptureDevice& one : seen.cameras) {
    findings.push_back(camera_finding(seen, one));
  }
  if (!seen.cameras.empty()) return;
  findings.push_back(
      {"cameras",
       Health::kGood,
       "no capture device in " + seen.cameras_in.string(),
       "Nothing, if the camera has an address (rtsp://, http://) or sends to "
       "a pipe; else plug one in and look again"});
}

void add_ffmpeg(const Examination& seen, std::vector<Finding>& findings) {
  std::vector<std::string> there;
  for (const FfmpegAbility& one : seen.abilities) {
    const bool told =
        std::find(there.begin(), there.end(), one.name) != there.end();
    if (one.there && !told) there.push_back(one.name);
  }
  findings.push_back(
      {"FFmpeg",
       Health::kGood,
       fmt::format("{} knows {}", seen.ffmpeg, fmt::join(there, ", ")),
       ""});
  for (const FfmpegAbility& one : seen.abilities) {
    if (one.there) continue;
    findings.push_back(
        {"FFmpeg",
         one.needed ? Health::kInTheWay : Health::kLimited,
         fmt::format(
             "no {} '{}': {}", ability_kind_name(one.kind), one.name, one.use),
         one.needed ? "Install FFmpeg's libraries as Debian packages them"
                    : "Nothing, unless you need it; then install an FFmpeg "
                      "built with it"});
  }
}

Finding disk_finding(const Examination& seen) {
  Finding found{"disk", Health::kGood, "", ""};
  if (!seen.free_bytes) {
    found.health = Health::kInTheWay;
    found.words = seen.folder.string() + ": how much is free is not told";
    found.mend = "Give a folder that is there (--out)";
    return found;
  }
  const double coded = minutes_of_film(seen, kCodedBits);
  const double mjpeg = minutes_of_film(seen, kMjpegBits);
  found.words = fmt::format(
      "{:.1f} GB free in {}: {:.0f} minutes of {} at {:g} as H.264 ({:g} bits "
      "a pixel), {:.0f} as MJPEG ({:g})",
      static_cast<double>(*seen.free_bytes) / kGiga,
      seen.folder.string(),
      coded,
      size_text(seen.size),
      seen.rate_hz,
      kCodedBits,
      mjpeg,
      kMjpegBits);
  if (coded < DiskOptions().low_s / 60) {
    found.health = Health::kInTheWay;
    found.mend = "Make room, or film into a folder of another disk (--out)";
  } else if (mjpeg < kShort_min) {
    found.health = Health::kLimited;
    found.mend = "Let the camera send H.264, or make room";
  }
  return found;
}

// The fastest usual rate that leaves room; 0: none does.
double slower_rate(const SpeedTrial& trial) {
  for (const double rate : {240., 120., 100., 60., 50., 30., 25.}) {
    if (rate < trial.rate_hz &&
        rate <= trial.rate_hz * trial.times() / kWithRoom) {
      return rate;
    }
  }
  return 0;
}

std::string less_of(const SpeedTrial& trial) {
  const double rate = slower_rate(trial);
  return fmt::format(
      "End other programs; else {}a smaller picture (--size), or film first "
      "and measure afterwards with 'evenfeed session'",
      rate > 0 ? fmt::format("film slower (--rate {:g}), ", rate) : "");
}

Finding speed_finding(const Examination& seen) {
  Finding found{"speed", Health::kGood, "", ""};
  if (!seen.speed) {
    found.health = Health::kInTheWay;
    found.words = seen.no_speed;
    found.mend = "Mend that, and look again";
    return found;
  }
  const SpeedTrial& trial = *seen.speed;
  found.words = fmt::format(
      "{} at {:g}: measured {:.1f} times as fast as the camera sends, with "
      "{:.0f} % of {}",
      size_text(trial.size),
      trial.rate_hz,
      trial.times(),
      100 * trial.share(),
      counted(trial.processors, "processor"));
  if (trial.times() < kJust) {
    found.health = Health::kInTheWay;
    found.words += ": it does not keep up";
    found.mend = less_of(trial);
  } else if (trial.times() < kWithRoom) {
    found.health = Health::kLimited;
    found.words += ": it only just keeps up";
    found.mend = less_of(trial);
  }
  return found;
}

}  // namespace

std::string health_word(Health health) {
  switch (health) {
    case Health::kGood:
      return "good";
    case Health::kLimited:
      return "limited";
    case Health::kInTheWay:
      return "in the way";
  }
  return "";
}

double minutes_of_film(const Examination& seen, double bits_per_pixel) {
  const double kept = static_cast<double>(DiskOptions().kept_bytes);
  const double bytes_a_second = bits_per_pixel / 8 * seen.size.width_px *
                                seen.size.height_px * seen.rate_hz;
  const double free = static_cast<double>(seen.free_bytes.value_or(0));
  return std::max(0.0, free - kept) / bytes_a_second / 60;
}

std::vector<Finding> findings_of(const Examination& seen) {
  std::vector<Finding> findings;
  add_cameras(seen, findings);
  add_ffmpeg(seen, findings);
  findings.push_back(disk_finding(seen));
  findings.push_back(speed_finding(seen));
  return findings;
}

bool may_begin(const std::vector<Finding>& findings) {
  return std::none_of(findings.begin(), findings.end(), [](const Finding& one) {
    return one.health == Health::kInTheWay;
  });
}

std::string examination_words(const Examination& seen) {
  std::string text;
  std::string area;
  const std::vector<Finding> findings = findings_of(seen);
  for (const Finding& one : findings) {
    if (one.area != area) text += one.area + "\n";
    area = one.area;
    text += fmt::format("  {}: {}\n", health_word(one.health), one.words);
    if (!one.mend.empty()) text += fmt::format("    - {}\n", one.mend);
  }
  return text + fmt::format("\n{} at {:g}: {}\n",
                            size_text(seen.size),
                            seen.rate_hz,
                            may_begin(findings)
                                ? "nothing is in the way of a live session"
                                : "something is in the way, see above");
}

}  // namespace evenfeed
