// SPDX-License-Identifier: MIT
// evenfeed live: the same job while the bench runs. Each feed is told as its
// arc ends, the state stands on the terminal, and at the end the folder holds
// what 'session' writes.
#pragma once

#include "cli/command.h"
#include "cli/live_camera.h"
#include "cli/session_args.h"
#include "live/bench_server.h"

#include <atomic>
#include <optional>
#include <string>

namespace evenfeed {

class BenchLine;
class LiveDesk;
struct CutOff;
struct LiveJob;
struct Measurement;

class LiveCommand : public Command {
 public:
  std::string_view name() const override { return "live"; }
  std::string_view task() const override { return "At the bench"; }
  std::string_view summary() const override {
    return "Judge feeds at the bench, while they come";
  }
  std::string_view example() const override {
    return "evenfeed live rtsp://192.168.1.20/stream --out today";
  }
  void setup(Arguments& args) override;
  int run() override;

 private:
  void check_options() const;
  std::optional<CutOff> take_up();
  void require_no_film(const std::filesystem::path& folder) const;
  void read_order(LiveJob& job) const;
  std::filesystem::path film(const LiveJob& job) const;
  void open_camera(LiveJob& job,
                   const std::atomic<bool>& stop,
                   BenchLine& line) const;
  LiveFrames take_up_again(LiveJob& job,
                           const std::atomic<bool>& stop,
                           BenchLine& line) const;
  LiveFrames frames_of(LiveJob& job,
                       const std::atomic<bool>& stop,
                       int seen) const;
  void find_bench(LiveJob& job,
                  const CalibrationOptions& calibration,
                  const std::atomic<bool>& stop,
                  BenchLine& told) const;
  void see_opening(LiveJob& job) const;
  void require_bench_of_camera(LiveJob& job) const;
  void drop_record(LiveJob& job) const;
  void ask_to_go_on(LiveJob& job,
                    const std::atomic<bool>& stop,
                    BenchLine& line) const;
  void set_up_desk(LiveJob& job, BenchLine& line) const;
  Measurement watch(LiveJob& job,
                    std::atomic<bool>& stop,
                    BenchLine& line) const;
  ServerOptions page_options() const;
  void open_page(LiveDesk& desk, BenchLine& line) const;
  int write(LiveJob& job, const Measurement& measurement, BenchLine& line);

  LiveCameraArgs camera_;
  std::string rehearse_;
  bool fast_ = false;
  std::string resume_;
  SessionArgs session_;
  std::string out_;
  std::string order_;
  std::string listen_;
  int port_ = 0;
  bool yes_ = false;
  bool no_page_ = false;
  bool quiet_ = false;
};

}  // namespace evenfeed
