// SPDX-License-Identifier: MIT
#include "film/stream_input.h"

#include "base/check.h"
#include "base/error.h"
#include "film/capture_device.h"
#include "film/ffmpeg_fault.h"

#include <algorithm>
#include <array>
#include <cerrno>
#include <filesystem>
#include <string_view>
#include <thread>

#include <fcntl.h>
#include <poll.h>
#include <unistd.h>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavdevice/avdevice.h>
#include <libavformat/avformat.h>
}

#include <fmt/format.h>

namespace evenfeed {

namespace fs = std::filesystem;

namespace {

// How soon a wish to stop is heard, where FFmpeg cannot ask for it.
constexpr int kNap_ms = 20;
// What is read to learn what a stream holds.
constexpr std::int64_t kLearn_us = 1'500'000;
constexpr int kPipeBuffer = 1 << 16;

// These say nothing of when a picture was taken: what their packets carry is
// counted out by a rate that was made up.
constexpr std::array<std::string_view, 10> kWithoutStamps{"mjpeg",
                                                          "mpjpeg",
                                                          "h264",
                                                          "hevc",
                                                          "m4v",
                                                          "image2pipe",
                                                          "jpeg_pipe",
                                                          "rawvideo",
                                                          "yuv4mpegpipe",
                                                          "obu"};

bool is_pipe(const std::string& address) {
  std::error_code error;
  return address == "-" || fs::is_fifo(address, error);
}

// Left alone, FFmpeg takes raw pictures, which many cameras send at a few a
// second only; empty where that has the rate, or nobody knows.
std::string coded_to_ask_for(const StreamOptions& wanted) {
  const auto device = capture_device(wanted.address);
  if (!device || wanted.width_px == 0 || wanted.rate_hz == 0) return "";
  const CaptureFormat* format =
      format_for(*device, wanted.width_px, wanted.height_px, wanted.rate_hz);
  return format == nullptr ? "" : coded_name(*format);
}

}  // namespace

void StreamOptions::check() const {
  require_in_range(width_px, 0, 16384, "width_px");
  require_in_range(height_px, 0, 16384, "height_px");
  require_in_range(rate_hz, 0, 10000, "rate_hz");
  require_in_range(open_s, 0.1, 600, "open_s");
  require_in_range(silent_s, 0.1, 60, "silent_s");
}

StreamInput::StreamInput(const StreamOptions& options,
                         const std::atomic<bool>& stop)
    : options_(options), stop_(stop) {
  options_.check();
  av_log_set_level(AV_LOG_QUIET);
  avdevice_register_all();
  avformat_network_init();
  wait_at_most(options_.open_s);
  try {
    open();
    find_pictures();
  } catch (...) {
    close_all();
    throw;
  }
}

StreamInput::~StreamInput() { close_all(); }

void StreamInput::close_all() {
  avformat_close_input(&format_);
  if (pipe_reader_ != nullptr) {
    av_freep(&pipe_reader_->buffer);
    avio_context_free(&pipe_reader_);
  }
  if (pipe_ > 0) close(pipe_);
  pipe_ = -1;
}

void StreamInput::refuse(const std::string& problem,
                         const std::string& mend) const {
  throw InputError(options_.address, problem, mend);
}

void StreamInput::wait_at_most(double wait_s) {
  until_ = Clock::now() + std::chrono::duration_cast<Clock::duration>(
                              std::chrono::duration<double>(wait_s));
}

bool StreamInput::given_up() const { return stop_ || Clock::now() > until_; }

// Opened here, since opening a FIFO that nobody writes to waits without end.
AVIOContext* StreamInput::open_pipe() {
  pipe_ = options_.address == "-"
              ? STDIN_FILENO
              : ::open(options_.address.c_str(), O_RDONLY | O_NONBLOCK);
  if (pipe_ < 0) refuse("the pipe may not be read", "Change its permissions");
  auto* buffer = static_cast<unsigned char*>(av_malloc(kPipeBuffer));
  return avio_alloc_context(
      buffer,
      kPipeBuffer,
      0,
      this,
      [](void* self, std::uint8_t* to, int size) {
        return static_cast<StreamInput*>(self)->read_pipe(to, size);
      },
      nullptr,
      nullptr);
}

// A FIFO that nobody has opened yet is at its end for read() and says nothing
// to poll(); one that was closed says so.
int StreamInput::read_pipe(std::uint8_t* to, int size) {
  while (!given_up()) {
    pollfd waiting{pipe_, POLLIN, 0};
    const int ready = poll(&waiting, 1, kNap_ms);
    if (ready <= 0) continue;
    const ssize_t got = ::read(pipe_, to, static_cast<std::size_t>(size));
    if (got > 0) return static_cast<int>(got);
    if (got == 0) return AVERROR_EOF;
    if (errno != EAGAIN && errno != EINTR) return AVERROR(errno);
  }
  return AVERROR_EXIT;
}

void StreamInput::open() {
  std::error_code error;
  const std::string& address = options_.address;
  if (fs::is_regular_file(address, error)) {
    refuse("this is a file, no stream",
           "Play it with --rehearse, if it is a film");
  }
  device_ = address.starts_with("/dev/");
  const AVInputFormat* reader = nullptr;
  AVDictionary* words = nullptr;
  format_ = avformat_alloc_context();
  format_->max_analyze_duration = kLearn_us;
  if (device_) {
    reader = av_find_input_format("v4l2");
    if (reader == nullptr) {
      refuse("FFmpeg here cannot open capture devices",
             "Install an FFmpeg that was built with V4L2");
    }
    // Its own reading would wait for a picture, come what may.
    format_->flags |= AVFMT_FLAG_NONBLOCK;
    if (options_.width_px > 0) {
      const std::string size =
          fmt::format("{}x{}", options_.width_px, options_.height_px);
      av_dict_set(&words, "video_size", size.c_str(), 0);
    }
    if (options_.rate_hz > 0) {
      av_dict_set(
          &words, "framerate", fmt::format("{}", options_.rate_hz).c_str(), 0);
    }
    if (const std::string coded = coded_to_ask_for(options_); !coded.empty()) {
      av_dict_set(&words, "input_format", coded.c_str(), 0);
    }
  } else if (is_pipe(address)) {
    pipe_reader_ = open_pipe();
    format_->pb = pipe_reader_;
  }
  if (address.starts_with("rtsp")) {
    av_dict_set(&words, "rtsp_flags", "prefer_tcp", 0);
  }
  format_->interrupt_callback = {
      [](void* self) {
        return static_cast<StreamInput*>(self)->given_up() ? 1 : 0;
      },
      this};
  const bool local = pipe_reader_ != nullptr;
  const int status = avformat_open_input(
      &format_, local ? nullptr : address.c_str(), reader, &words);
  av_dict_free(&words);
  if (status >= 0) return;
  if (stop_) refuse("it was not opened: stopped", "Begin again");
  if (given_up()) {
    refuse(fmt::format("nothing came within {:.0f} s", options_.open_s),
           "See that the camera runs and sends");
  }
  refuse(fmt::format("it cannot be opened ({})", ffmpeg_reason(status)),
         device_ ? "See that it is a camera, that no other program has it, and "
                   "that it has pictures of --size at --rate"
                 : "Check the address, and that the camera runs and sends");
}

void StreamInput::find_pictures() {
  const int status = avformat_find_stream_info(format_, nullptr);
  const int index = status < 0
                        ? status
                        : av_find_best_stream(
                              format_, AVMEDIA_TYPE_VIDEO, -1, -1, nullptr, 0);
  if (index < 0 || format_->streams[index]->codecpar->width <= 0) {
    refuse("no pictures came", "See what the camera sends");
  }
  stream_ = format_->streams[index];
  for (unsigned i = 0; i < format_->nb_streams; ++i) {
    if (static_cast<int>(i) != index) {
      format_->streams[i]->discard = AVDISCARD_ALL;
    }
  }
  has_stamps_ = std::find(kWithoutStamps.begin(),
                          kWithoutStamps.end(),
                          format_->iformat->name) == kWithoutStamps.end();
}

double StreamInput::rate_hz() const {
  if (options_.rate_hz > 0) return options_.rate_hz;
  // A driver knows it; of others it is a guess from the first packets.
  const AVRational rate = stream_->avg_frame_rate;
  return device_ && rate.num > 0 && rate.den > 0 ? av_q2d(rate) : 0;
}

double StreamInput::likely_rate_hz() const {
  if (const double known_hz = rate_hz(); known_hz > 0) return known_hz;
  const AVRational rate = stream_->avg_frame_rate;
  return rate.num > 0 && rate.den > 0 ? av_q2d(rate) : 0;
}

StreamRead StreamInput::read(AVPacket& packet) {
  wait_at_most(options_.silent_s);
  for (;;) {
    const int status = av_read_frame(format_, &packet);
    if (status >= 0) {
      if (packet.stream_index == stream_->index) return StreamRead::kPacket;
      av_packet_unref(&packet);
      continue;
    }
    if (stop_) return StreamRead::kStopped;
    if (status == AVERROR_EXIT || given_up()) {
      why_gone_ = fmt::format("nothing came for {:.1f} s", options_.silent_s);
      return StreamRead::kGone;
    }
    if (status == AVERROR(EAGAIN)) {
      std::this_thread::sleep_for(std::chrono::milliseconds(1));
      continue;
    }
    if (status == AVERROR_EOF && pipe_reader_ != nullptr) {
      return StreamRead::kEnded;
    }
    why_gone_ = status == AVERROR_EOF ? "it was closed at the other end"
                                      : ffmpeg_reason(status);
    return StreamRead::kGone;
  }
}

}  // namespace evenfeed
