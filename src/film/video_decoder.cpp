// SPDX-License-Identifier: MIT
#include "film/video_decoder.h"

#include "base/error.h"
#include "film/stream_facts.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <string_view>

#include <fmt/format.h>
#include <opencv2/imgproc.hpp>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
#include <libavutil/display.h>
}

namespace evenfeed {
namespace {

constexpr const char* kMendFilm =
    "Give a film that a player can show, for example MP4 or MOV straight from "
    "the camera";

// A clock that is finer cannot move a ball by more than a millimetre or two.
constexpr double kFineClock_s = 2e-4;
// Of packets that somebody else reads.
constexpr double kStreamTick_s = 1e-6;
}  // namespace

void VideoDecoder::Closer::operator()(AVFormatContext* input) const {
  avformat_close_input(&input);
}
void VideoDecoder::Closer::operator()(AVCodecContext* codec) const {
  avcodec_free_context(&codec);
}
void VideoDecoder::Closer::operator()(AVPacket* packet) const {
  av_packet_free(&packet);
}

VideoDecoder::VideoDecoder(const std::filesystem::path& path,
                           const VideoOptions& options)
    : apply_rotation_(options.apply_rotation) {
  options.check();
  info_.file = path.string();
  av_log_set_level(AV_LOG_QUIET);  // what matters comes back as notes
  open_input();
  open_codec(options);
  read_first_frame();
}

VideoDecoder::VideoDecoder(PacketGiver& packets,
                           const std::string& name,
                           const VideoOptions& options)
    : format_(packets.format()), packets_(&packets), stream_(packets.stream()) {
  options.check();
  info_.file = name;
  open_codec(options);
  tick_s_ = kStreamTick_s;
  first_stamp_s_ = 0.0;
  last_t_s_ = -1;
  read_first_frame();
}

VideoDecoder::~VideoDecoder() = default;

int VideoDecoder::read_packet() {
  return packets_ != nullptr ? packets_->read(packet_.get())
                             : av_read_frame(format_, packet_.get());
}

void VideoDecoder::refuse(const std::string& problem,
                          const std::string& mend) const {
  throw InputError(info_.file, problem, mend);
}

void VideoDecoder::open_input() {
  std::error_code error;
  if (!std::filesystem::exists(info_.file, error)) {
    refuse("there is no such file", "Check the path of the film");
  }
  if (!std::filesystem::is_regular_file(info_.file, error)) {
    refuse("this is not a file", "Give the path of a film");
  }
  if (std::filesystem::file_size(info_.file, error) == 0) {
    refuse("the file is empty", "Copy the film from the camera again");
  }
  AVFormatContext* input = nullptr;
  // The prefix keeps a name such as "http:x" from being taken for an address.
  const std::string address = "file:" + info_.file;
  int status = avformat_open_input(&input, address.c_str(), nullptr, nullptr);
  if (status == AVERROR(EACCES)) {
    refuse("the file may not be read", "Change its permissions");
  }
  if (status < 0) {
    refuse("this is not a film, or its end with the index is missing",
           std::string(kMendFilm) + "; copy it again if it was cut short");
  }
  input_.reset(input);
  format_ = input;
  info_.still_picture = reads_pictures(*input->iformat);
  status = avformat_find_stream_info(input, nullptr);
  const int index =
      status < 0
          ? status
          : av_find_best_stream(input, AVMEDIA_TYPE_VIDEO, -1, -1, nullptr, 0);
  if (index < 0) refuse("the file has no picture track", kMendFilm);
  stream_ = input->streams[index];
  for (unsigned i = 0; i < input->nb_streams; ++i) {
    if (static_cast<int>(i) != index) {
      input->streams[i]->discard = AVDISCARD_ALL;
    }
  }
}

void VideoDecoder::open_codec(const VideoOptions& options) {
  const AVCodecParameters& coded = *stream_->codecpar;
  const AVCodec* decoder = avcodec_find_decoder(coded.codec_id);
  info_.codec = avcodec_get_name(coded.codec_id);
  if (decoder == nullptr) {
    refuse(fmt::format("there is no decoder for '{}'", info_.codec),
           "Convert the film to H.264 first");
  }
  if (is_interlaced(coded.field_order)) refuse_interlaced("says the film");
  codec_.reset(avcodec_alloc_context3(decoder));
  packet_.reset(av_packet_alloc());
  avcodec_parameters_to_context(codec_.get(), &coded);
  codec_->pkt_timebase =
      packets_ != nullptr ? AVRational{1, 1000000} : stream_->time_base;
  codec_->thread_count = options.decoder_threads;
  codec_->thread_type = FF_THREAD_FRAME | FF_THREAD_SLICE;
  if (avcodec_open2(codec_.get(), decoder, nullptr) < 0) {
    refuse(fmt::format("the '{}' decoder cannot open it", info_.codec),
           kMendFilm);
  }
  const ShownAs shown = shown_as(*stream_);
  mirrored_ = shown.mirrored;
  info_.rotation_deg = shown.turned_deg;
  set_clock(options);
  const auto frames = stream_->nb_frames > 0
                          ? static_cast<double>(stream_->nb_frames)
                          : info_.duration_s * info_.rate_hz;
  info_.expected_frames =
      static_cast<int>(std::lround(std::clamp(frames, 0.0, 1e9)));
}

void VideoDecoder::set_clock(const VideoOptions& options) {
  const double rate_hz = average_rate_hz(*stream_);
  info_.clock_known = options.slow || written_by_camera(*format_);
  if (options.slow) {
    info_.slow = *options.slow;
  } else if (const auto taken_hz = capture_rate_hz(
                 *format_, *stream_, packets_ == nullptr ? info_.file : "")) {
    constexpr double kSame = 0.1;  // a rate is rarely kept to the digit
    const double slow = rate_hz > 0 ? *taken_hz / rate_hz : 1;
    if (std::abs(slow - 1) > kSame) {
      info_.slow = slow;
      info_.clock_known = true;
      slow_note_ = fmt::format(
          "{}: taken at {:.4g} frames a second, as it says itself, and plays "
          "at {:.4g}: its times were divided by {:.4g} (--slow 1 leaves them)",
          info_.file,
          *taken_hz,
          rate_hz,
          slow);
    }
  }
  info_.rate_hz = rate_hz * info_.slow;
  tick_s_ = av_q2d(stream_->time_base) / info_.slow;
  if (stream_->duration != AV_NOPTS_VALUE) {
    info_.duration_s = static_cast<double>(stream_->duration) * tick_s_;
  } else if (format_->duration != AV_NOPTS_VALUE) {
    info_.duration_s =
        static_cast<double>(format_->duration) / AV_TIME_BASE / info_.slow;
  }
  if (packets_ == nullptr && av_q2d(stream_->time_base) > kFineClock_s) {
    grid_ = regular_grid(all_stamps("file:" + info_.file, stream_->index));
  }
}

void VideoDecoder::read_first_frame() {
  pending_ = next();
  if (!pending_) {
    refuse("no frame of the film can be decoded", kMendFilm);
  }
  info_.width_px = pending_->luma.cols;
  info_.height_px = pending_->luma.rows;
}

std::optional<Frame> VideoDecoder::next() {
  if (pending_) return std::exchange(pending_, std::nullopt);
  while (std::shared_ptr<AVFrame> picture = decode()) {
    if (std::optional<Frame> frame = as_frame(picture)) return frame;
  }
  return std::nullopt;
}

std::shared_ptr<AVFrame> VideoDecoder::decode() {
  std::shared_ptr<AVFrame> picture(
      av_frame_alloc(), [](AVFrame* frame) { av_frame_free(&frame); });
  for (;;) {
    const int status = avcodec_receive_frame(codec_.get(), picture.get());
    if (status == 0) return picture;
    if (status == AVERROR(EAGAIN)) {
      if (!feed()) return nullptr;
    } else if (status == AVERROR_EOF) {
      return nullptr;
    } else {
      ++damaged_packets_;
      if (input_ended_) return nullptr;
      if (!feed()) return nullptr;
    }
  }
}

// Gives the decoder one more packet, or tells it that there are no more.
// False when there is nothing left to tell.
bool VideoDecoder::feed() {
  if (input_ended_) return false;
  for (;;) {
    const int status = read_packet();
    if (status < 0) {
      read_error_ = status != AVERROR_EOF;
      input_ended_ = true;
      avcodec_send_packet(codec_.get(), nullptr);
      return true;
    }
    const bool ours = packet_->stream_index == stream_->index;
    if (ours && (packet_->flags & AV_PKT_FLAG_CORRUPT) != 0) {
      ++damaged_packets_;
    }
    const int sent =
        ours ? avcodec_send_packet(codec_.get(), packet_.get()) : 0;
    av_packet_unref(packet_.get());
    if (ours && sent == 0) return true;
    if (ours) ++damaged_packets_;
  }
}

std::optional<Frame> VideoDecoder::as_frame(
    const std::shared_ptr<AVFrame>& picture) {
  if ((picture->flags & AV_FRAME_FLAG_CORRUPT) != 0 ||
      picture->decode_error_flags != 0) {
    ++damaged_frames_;
    return std::nullopt;
  }
  if (picture->interlaced_frame != 0) refuse_interlaced("says the film");
  take_size(*picture);
  Frame frame;
  PicturePlanes planes = planes_.read(*picture);
  if (planes.luma.empty()) {
    refuse(fmt::format("pixel format '{}' cannot be read", info_.pixel_format),
           "Convert the film to yuv420p first");
  }
  watch_for_combs(planes.luma);
  const double t_s = stamp(*picture);
  last_t_s_ = t_s;
  // Of a stream, whose clock is made of all stamps, every picture is used.
  if (packets_ == nullptr && repeats_.repeats(planes.luma, picture, t_s)) {
    return std::nullopt;
  }
  // What was lost of a stream is no cut.
  if (packets_ == nullptr) joins_.add(planes.luma, t_s);
  const cv::Size full(
      static_cast<int>(std::lround(stretch_u_ * stored_width_)),
      static_cast<int>(std::lround(stretch_v_ * stored_height_)));
  const cv::Size half((full.width + 1) / 2, (full.height + 1) / 2);
  planes.luma = squared(planes.luma, full);
  planes.blue = squared(planes.blue, half);
  planes.red = squared(planes.red, half);
  for (cv::Mat* plane : {&planes.luma, &planes.blue, &planes.red}) {
    *plane = as_seen(*plane);
  }
  const int turn_deg = apply_rotation_ ? info_.rotation_deg : 0;
  frame.luma = turned_for_display(planes.luma, turn_deg);
  frame.blue = turned_for_display(planes.blue, turn_deg);
  frame.red = turned_for_display(planes.red, turn_deg);
  frame.owner = picture;
  frame.t_s = t_s;
  frame.index = handed_out_++;
  return frame;
}

void VideoDecoder::watch_for_combs(const cv::Mat& luma) {
  if (combs_.sure()) return;
  combs_.add(luma);
  if (combs_.torn()) {
    refuse_interlaced(fmt::format(
        "what moves is torn into a comb of rows up to {:.2f} s", last_t_s_));
  }
}

void VideoDecoder::refuse_interlaced(const std::string& how_seen) const {
  refuse("the film is interlaced (" + how_seen +
             "): each picture holds two moments, half of its rows each",
         "Make a picture of each half first: ffmpeg -i " + info_.file +
             " -vf bwdif=mode=send_field -c:v libx264 -crf 12 fields.mp4; or, "
             "if its pictures are whole and only marked so, with -vf "
             "setfield=prog in place of bwdif");
}

// The container's stamp; where it is missing or does not increase, the last
// one and a frame's time at the average rate.
double VideoDecoder::stamp(const AVFrame& picture) {
  const std::int64_t ticks = picture.best_effort_timestamp;
  const double step_s = info_.rate_hz > 0 ? 1 / info_.rate_hz : 1.0 / 30;
  if (ticks == AV_NOPTS_VALUE) {
    ++missing_stamps_;
    if (first_stamp_s_) return last_t_s_ + step_s;
    first_stamp_s_ = 0.0;
    return 0;
  }
  const double stamp_s =
      (grid_ ? grid_->nearest(ticks) : static_cast<double>(ticks)) * tick_s_;
  if (!first_stamp_s_) {
    first_stamp_s_ = stamp_s;
    return 0;
  }
  const double t_s = stamp_s - *first_stamp_s_;
  if (t_s > last_t_s_) return t_s;
  ++unordered_stamps_;
  return last_t_s_ + step_s;
}

bool VideoDecoder::jump_towards(double t_s) {
  const auto wanted = static_cast<std::int64_t>(
      std::llround((t_s + first_stamp_s_.value_or(0)) / tick_s_));
  const AVIndexEntry* entry = avformat_index_get_entry_from_timestamp(
      stream_, wanted, AVSEEK_FLAG_BACKWARD);
  if (entry == nullptr) return false;
  const double key_t_s = static_cast<double>(entry->timestamp) * tick_s_ -
                         first_stamp_s_.value_or(0);
  if (key_t_s <= last_t_s_ + 2 / std::max(info_.rate_hz, 1.0)) return false;
  if (av_seek_frame(format_, stream_->index, wanted, AVSEEK_FLAG_BACKWARD) <
      0) {
    return false;
  }
  avcodec_flush_buffers(codec_.get());
  pending_.reset();
  joins_ = {};
  input_ended_ = false;
  return true;
}

}  // namespace evenfeed
