// SPDX-License-Identifier: MIT
// The FFmpeg side of VideoSource: opening, decoding, time stamps, jumps.
// Internal to film; single-threaded towards its caller.
#pragma once

#include "film/comb_watch.h"
#include "film/frame.h"
#include "film/join_watch.h"
#include "film/picture_planes.h"
#include "film/repeat_watch.h"
#include "film/stamp_grid.h"
#include "film/video_source.h"

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

struct AVCodecContext;
struct AVFormatContext;
struct AVFrame;
struct AVPacket;
struct AVStream;

namespace evenfeed {

/// Packets of a stream that somebody else reads, in place of a file's.
class PacketGiver {
 public:
  virtual ~PacketGiver() = default;
  virtual AVFormatContext* format() const = 0;
  virtual AVStream* stream() const = 0;
  /// As av_read_frame; pts in microseconds, as they are to be told.
  virtual int read(AVPacket* packet) = 0;
};

class VideoDecoder {
 public:
  /// Of a stream: nothing is sought, and times are those of the packets.
  VideoDecoder(PacketGiver& packets,
               const std::string& name,
               const VideoOptions& options);
  /// See VideoSource for what is refused.
  VideoDecoder(const std::filesystem::path& path, const VideoOptions& options);
  ~VideoDecoder();
  VideoDecoder(const VideoDecoder&) = delete;
  VideoDecoder& operator=(const VideoDecoder&) = delete;

  const VideoInfo& info() const { return info_; }
  std::optional<Frame> next();
  std::vector<std::string> notes() const;
  std::vector<double> joins_s() const { return joins_.joins_s(); }

  /// Goes on at the last key frame at or before `t_s` if that lies ahead of
  /// where decoding stands, and stays where it is otherwise. Whether it jumped.
  bool jump_towards(double t_s);

  /// Goes to the end without decoding, for notes().
  void skim();

 private:
  struct Closer {
    void operator()(AVFormatContext* input) const;
    void operator()(AVCodecContext* codec) const;
    void operator()(AVPacket* packet) const;
  };

  void open_input();
  int read_packet();
  void open_codec(const VideoOptions& options);
  void set_clock(const VideoOptions& options);
  void read_first_frame();
  std::shared_ptr<AVFrame> decode();
  bool feed();
  std::optional<Frame> as_frame(const std::shared_ptr<AVFrame>& picture);
  void take_size(const AVFrame& picture);
  cv::Mat squared(const cv::Mat& plane, const cv::Size& full) const;
  cv::Mat as_seen(const cv::Mat& plane) const;
  void watch_for_combs(const cv::Mat& luma);
  double stamp(const AVFrame& picture);
  void note_end(std::vector<std::string>& notes) const;
  [[noreturn]] void refuse_interlaced(const std::string& how_seen) const;
  [[noreturn]] void refuse(const std::string& problem,
                           const std::string& mend) const;

  VideoInfo info_;
  bool apply_rotation_ = false;
  bool mirrored_ = false;                           // to be shown so
  std::unique_ptr<AVFormatContext, Closer> input_;  // empty for a stream
  AVFormatContext* format_ = nullptr;
  PacketGiver* packets_ = nullptr;
  std::unique_ptr<AVCodecContext, Closer> codec_;
  std::unique_ptr<AVPacket, Closer> packet_;
  AVStream* stream_ = nullptr;
  PlaneReader planes_;
  std::optional<Frame> pending_;

  int stored_width_ = 0;
  int stored_height_ = 0;
  double stretch_u_ = 1;  // makes the pixels square
  double stretch_v_ = 1;
  CombWatch combs_;
  RepeatWatch repeats_;
  JoinWatch joins_;
  double tick_s_ = 0;  // of the container's clock, as taken
  std::optional<StampGrid> grid_;
  std::string slow_note_;
  std::optional<double> first_stamp_s_;
  double last_t_s_ = 0;
  int handed_out_ = 0;
  bool input_ended_ = false;

  int missing_stamps_ = 0;
  int unordered_stamps_ = 0;
  int damaged_frames_ = 0;
  int damaged_packets_ = 0;
  bool read_error_ = false;
};

}  // namespace evenfeed
