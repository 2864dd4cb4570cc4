// SPDX-License-Identifier: MIT
#include "cli/cmd_doctor.h"

#include "base/error.h"
#include "cli/doctor_findings.h"
#include "cli/doctor_json.h"
#include "cli/print_words.h"
#include "live/disk_watch.h"

#include <fmt/format.h>

namespace evenfeed {
namespace {

// Pictures are coded in halves of colour, whose sizes are even.
void require_even(const WantedSize& size, const std::string& text) {
  if (size.width_px % 2 == 0 && size.height_px % 2 == 0) return;
  throw UsageError("--size " + text +
                   ": films have even widths and heights, as 1280x720");
}

void try_on_a_second(Examination& seen) {
  try {
    seen.speed = try_speed(seen.size, seen.rate_hz);
  } catch (const InputError& error) {
    seen.no_speed = error.what();
  }
}

}  // namespace

void DoctorCommand::setup(Arguments& args) {
  args.add_option("--size", size_, "The picture that is to be measured")
      .takes("WIDTHxHEIGHT")
      .show_default();
  args.add_option("--rate", rate_hz_, "Pictures a second of it")
      .within(1, 1000)
      .show_default();
  args.add_option("--cameras", cameras_, "Where capture devices appear")
      .takes("FOLDER")
      .show_default();
  args.add_option("--out", out_, "Where the film would go: its disk")
      .takes("FOLDER")
      .show_default();
  args.add_json(json_, "what was found");
  args.add_quiet(quiet_);
}

int DoctorCommand::run() {
  Examination seen;
  seen.size = wanted_size("--size", size_);
  require_even(seen.size, size_);
  seen.rate_hz = rate_hz_;
  seen.cameras_in = cameras_;
  seen.cameras = capture_devices(cameras_);
  seen.ffmpeg = ffmpeg_version();
  seen.abilities = ffmpeg_abilities();
  seen.folder = out_;
  seen.free_bytes = free_on_disk_of(out_)();
  try_on_a_second(seen);
  if (json_) {
    fmt::print("{}", examination_json(seen));
  } else if (!quiet_) {
    print_words(examination_words(seen));
  }
  return may_begin(findings_of(seen)) ? kExitDone : kExitFailed;
}

}  // namespace evenfeed
