// SPDX-License-Identifier: MIT
// Tiny films made by the ffmpeg program, for tests of reading them.
#pragma once

#include "film/frame.h"
#include "support/temp_dir.h"

#include <cstdlib>
#include <fstream>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <opencv2/core.hpp>

namespace evenfeed {

class MadeFilm {
 public:
  /// The frames' planes as they were before they were coded.
  MadeFilm(const std::string& name, const std::vector<Frame>& frames)
      : folder_(name),
        size_(fmt::format(
            "{}x{}", frames.at(0).luma.cols, frames.at(0).luma.rows)) {
    std::ofstream raw(folder_ / "raw.yuv", std::ios::binary);
    for (const Frame& frame : frames) {
      for (const cv::Mat& plane : {frame.luma, frame.blue, frame.red}) {
        raw.write(reinterpret_cast<const char*>(plane.data),
                  static_cast<long>(plane.total()));
      }
    }
  }

  /// Codes the frames, 1/60 s apart, with these options of ffmpeg. Debian's
  /// ffmpeg has every coder asked for here, so a failure is one of the test.
  std::filesystem::path coded(const std::string& file,
                              const std::string& options) const {
    run("-f rawvideo -pix_fmt yuv420p -s " + size_ + " -r 60 -i " +
        (folder_ / "raw.yuv").string() + " " + options + " " +
        (folder_ / file).string());
    return folder_ / file;
  }
  /// Runs ffmpeg on a film made before.
  std::filesystem::path changed(const std::string& from,
                                const std::string& file,
                                const std::string& options) const {
    run("-i " + (folder_ / from).string() + " " + options + " " +
        (folder_ / file).string());
    return folder_ / file;
  }

 private:
  static void run(const std::string& arguments) {
    const std::string command =
        "ffmpeg -v error -nostdin -y " + arguments + " >/dev/null";
    CAPTURE(command);
    REQUIRE(std::system(command.c_str()) == 0);
  }
  TempDir folder_;
  std::string size_;
};

}  // namespace evenfeed
