// SPDX-License-Identifier: MIT
// What was missing or wrong in a film, told when it has been read.
#include "base/counted.h"
#include "film/stream_facts.h"
#include "film/video_decoder.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
}

namespace evenfeed {
namespace {

// Less than that may be missing at the end: the last picture's own duration,
// sound that goes on.
constexpr double kEnd_s = 0.25;
constexpr double kEndShare = 0.01;

}  // namespace

void VideoDecoder::skim() {
  int status = 0;
  while ((status = read_packet()) >= 0) {
    if (packet_->stream_index == stream_->index) {
      damaged_packets_ += (packet_->flags & AV_PKT_FLAG_CORRUPT) != 0;
      if (packet_->pts != AV_NOPTS_VALUE) {
        last_t_s_ = std::max(last_t_s_,
                             static_cast<double>(packet_->pts) * tick_s_ -
                                 first_stamp_s_.value_or(0));
      }
    }
    av_packet_unref(packet_.get());
  }
  read_error_ = status != AVERROR_EOF;
  input_ended_ = true;
}

void VideoDecoder::note_end(std::vector<std::string>& notes) const {
  if (!input_ended_) return;
  // Guessed from the size or the last stamp, a duration says nothing.
  const bool known =
      format_->duration_estimation_method == AVFMT_DURATION_FROM_STREAM;
  const double last_step_s = info_.rate_hz > 0 ? 1 / info_.rate_hz : 0;
  const double missing_s = info_.duration_s - last_t_s_ - last_step_s;
  if (known &&
      missing_s > std::max(kEnd_s / info_.slow, kEndShare * info_.duration_s)) {
    notes.push_back(fmt::format(
        "{}: the film ends early, at {:.2f} s of {:.2f} s: {:.2f} s ({:.0f} %) "
        "are missing; used up to there",
        info_.file,
        last_t_s_,
        info_.duration_s,
        missing_s,
        100 * missing_s / info_.duration_s));
  } else if (read_error_) {
    notes.push_back(
        fmt::format("{}: the film ends early, at {:.2f} s, in the middle of a "
                    "picture; how much is missing is not known",
                    info_.file,
                    last_t_s_));
  }
}

std::vector<std::string> VideoDecoder::notes() const {
  std::vector<std::string> notes;
  const auto add = [&](int count, const char* what) {
    if (count > 0)
      notes.push_back(fmt::format("{}: {} {}", info_.file, count, what));
  };
  add(missing_stamps_, "frames without a time stamp, timed by the frame rate");
  add(unordered_stamps_,
      "time stamps that do not increase, replaced by the frame rate");
  add(damaged_frames_, "damaged frames left out");
  add(damaged_packets_, "damaged pieces of the film skipped");
  if (!slow_note_.empty()) notes.push_back(slow_note_);
  if (stretch_u_ != 1 || stretch_v_ != 1) {
    notes.push_back(fmt::format(
        "{}: its pixels are not square; the pictures were stretched from {} x "
        "{} to {} x {}",
        info_.file,
        stored_width_,
        stored_height_,
        info_.width_px,
        info_.height_px));
  }
  if (repeats_.many()) {
    const double mistimed_s = repeats_.mistimed_s();
    notes.push_back(fmt::format(
        "{}: {} pictures repeat the one before; once that was sure they were "
        "left out{}. Give the film as it was taken, not saved again at another "
        "rate",
        info_.file,
        repeats_.count(),
        mistimed_s > 0
            ? fmt::format("; the others are mistimed by up to {:.1f} ms",
                          1e3 * mistimed_s)
            : ""));
  }
  if (mirrored_) {
    notes.push_back(info_.file +
                    ": it says that it is to be shown mirrored; the pictures "
                    "were mirrored");
  }
  if (packets_ == nullptr) {
    if (const int more = other_picture_tracks(*format_, stream_->index)) {
      notes.push_back(
          fmt::format("{}: it holds {}: the one of {} x {} was used",
                      info_.file,
                      counted(more, "more picture track"),
                      stored_width_,
                      stored_height_));
    }
  }
  note_end(notes);
  return notes;
}

}  // namespace evenfeed
