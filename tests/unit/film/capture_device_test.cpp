// SPDX-License-Identifier: MIT
#include "film/capture_device.h"

#include "base/error.h"
#include "support/temp_dir.h"

#include <cstring>
#include <fstream>

#include <doctest/doctest.h>
#include <linux/videodev2.h>

using namespace evenfeed;

namespace {

// A driver of a webcam as they are: raw pictures that are slow when they are
// large, and MJPEG that is not.
struct Webcam {
  unsigned can = V4L2_CAP_VIDEO_CAPTURE;
  bool answers = true;
  bool endless = false;
  int asked = 0;

  bool operator()(unsigned long request, void* about) {
    ++asked;
    if (!answers) return false;
    if (request == VIDIOC_QUERYCAP) return tell(*cast<v4l2_capability>(about));
    if (request == VIDIOC_ENUM_FMT) return tell(*cast<v4l2_fmtdesc>(about));
    if (request == VIDIOC_ENUM_FRAMESIZES) {
      return tell(*cast<v4l2_frmsizeenum>(about));
    }
    return tell(*cast<v4l2_frmivalenum>(about));
  }

  template <typename T>
  static T* cast(void* about) {
    return static_cast<T*>(about);
  }
  bool tell(v4l2_capability& about) const {
    // All 32 bytes, without an end.
    std::memset(about.card, 'C', sizeof about.card);
    about.capabilities = V4L2_CAP_DEVICE_CAPS | V4L2_CAP_VIDEO_CAPTURE;
    about.device_caps = can;
    return true;
  }
  bool tell(v4l2_fmtdesc& about) const {
    if (about.index > 1 && !endless) return false;
    about.pixelformat =
        about.index == 0 ? V4L2_PIX_FMT_YUYV : V4L2_PIX_FMT_MJPEG;
    about.flags = about.index == 0 ? 0 : V4L2_FMT_FLAG_COMPRESSED;
    return true;
  }
  static bool tell(v4l2_frmsizeenum& about) {
    if (about.index > 1) return false;
    about.type = V4L2_FRMSIZE_TYPE_DISCRETE;
    about.discrete.width = about.index == 0 ? 640 : 1280;
    about.discrete.height = about.index == 0 ? 480 : 720;
    return true;
  }
  static bool tell(v4l2_frmivalenum& about) {
    const bool slow =
        about.pixel_format == V4L2_PIX_FMT_YUYV && about.width == 1280;
    if (about.index > (slow ? 0U : 1U)) return false;
    about.type = V4L2_FRMIVAL_TYPE_DISCRETE;
    const unsigned fastest = slow ? 10 : 60;
    about.discrete = {1, about.index == 0 ? fastest / 2 : fastest};
    if (slow) about.discrete.denominator = 10;
    return true;
  }
};

// One that makes any size and rate up to its largest.
bool stepwise(unsigned long request, void* about) {
  if (request == VIDIOC_QUERYCAP) {
    Webcam::cast<v4l2_capability>(about)->capabilities = V4L2_CAP_VIDEO_CAPTURE;
    return true;
  }
  if (request == VIDIOC_ENUM_FMT) {
    auto& format = *Webcam::cast<v4l2_fmtdesc>(about);
    format.pixelformat = V4L2_PIX_FMT_YUYV;
    return format.index == 0;
  }
  if (request == VIDIOC_ENUM_FRAMESIZES) {
    auto& size = *Webcam::cast<v4l2_frmsizeenum>(about);
    size.type = V4L2_FRMSIZE_TYPE_STEPWISE;
    size.stepwise.max_width = 1920;
    size.stepwise.max_height = 1080;
    return true;
  }
  auto& interval = *Webcam::cast<v4l2_frmivalenum>(about);
  interval.type = V4L2_FRMIVAL_TYPE_CONTINUOUS;
  interval.stepwise.min = {1001, 60000};
  interval.stepwise.max = {1, 1};
  return true;
}

}  // namespace

TEST_CASE("a webcam's formats, sizes and rates are told") {
  Webcam webcam;
  const auto device = ask_device("/dev/video0", std::ref(webcam));
  REQUIRE(device);
  CHECK(device->problem.empty());
  CHECK(device->name == std::string(32, 'C'));
  REQUIRE(device->formats.size() == 2);
  CHECK(device->formats[0].code == "YUYV");
  CHECK_FALSE(device->formats[0].coded);
  CHECK(device->formats[1].code == "MJPG");
  CHECK(device->formats[1].coded);
  REQUIRE(device->formats[1].sizes.size() == 2);
  CHECK(device->formats[1].sizes[0].width_px == 1280);
  CHECK(device->formats[1].sizes[0].rates_hz == std::vector<double>{60, 30});
  CHECK(fastest_hz(device->formats[0], 1280, 720) == 10);
  CHECK(fastest_hz(device->formats[0], 1280, 721) == 0);
}

TEST_CASE("the format is one that has the rate; raw pictures where they do") {
  Webcam webcam;
  const auto device = ask_device("/dev/video0", std::ref(webcam));
  REQUIRE(device);
  const auto code = [&](int width_px, int height_px, double rate_hz) {
    const CaptureFormat* format =
        format_for(*device, width_px, height_px, rate_hz);
    return format == nullptr ? "" : format->code;
  };
  CHECK(code(1280, 720, 60) == "MJPG");
  CHECK(code(1280, 720, 10) == "YUYV");
  CHECK(code(640, 480, 60) == "YUYV");
  CHECK(code(640, 480, 120) == "");
  CHECK(code(1920, 1080, 30) == "");
  // Whichever the driver names first.
  CaptureDevice turned = *device;
  std::swap(turned.formats[0], turned.formats[1]);
  CHECK(format_for(turned, 640, 480, 60)->code == "YUYV");
}

TEST_CASE("coded pictures are asked for by FFmpeg's names") {
  CHECK(coded_name({"MJPG", "", true, {}}) == "mjpeg");
  CHECK(coded_name({"H264", "", true, {}}) == "h264");
  CHECK(coded_name({"YUYV", "", false, {}}).empty());
  CHECK(coded_name({"XYZW", "", true, {}}).empty());
}

TEST_CASE("a driver that makes any size up to its largest") {
  const auto device = ask_device("/dev/video0", stepwise);
  REQUIRE(device);
  REQUIRE(device->formats.size() == 1);
  const CaptureFormat& format = device->formats[0];
  REQUIRE(format.sizes.size() == 1);
  CHECK(format.sizes[0].any_below);
  CHECK(fastest_hz(format, 1280, 720) == doctest::Approx(59.94).epsilon(1e-4));
  CHECK(fastest_hz(format, 2560, 720) == 0);
  // 59.94 is what cameras call 60.
  CHECK(format_for(*device, 1280, 720, 60) == &format);
}

TEST_CASE("what is no camera is left out or told") {
  Webcam metadata;
  metadata.can = V4L2_CAP_META_CAPTURE;
  CHECK_FALSE(ask_device("/dev/video1", std::ref(metadata)));
  Webcam planes;
  planes.can = V4L2_CAP_VIDEO_CAPTURE_MPLANE;
  const auto in_planes = ask_device("/dev/video2", std::ref(planes));
  REQUIRE(in_planes);
  CHECK(in_planes->problem.find("planes") != std::string::npos);
  Webcam silent;
  silent.answers = false;
  const auto none = ask_device("/dev/video3", std::ref(silent));
  REQUIRE(none);
  CHECK(none->problem.find("does not answer") != std::string::npos);
}

TEST_CASE("a driver whose list never ends does not hold us up") {
  Webcam endless;
  endless.endless = true;
  const auto device = ask_device("/dev/video0", std::ref(endless));
  REQUIRE(device);
  CHECK(device->formats.size() <= 256);
  CHECK(endless.asked < 10000);
}

TEST_CASE("cameras are looked for by name, in the order of their numbers") {
  const TempDir dir("cameras");
  for (const char* name : {"video10", "video2", "video", "videox", "sda"}) {
    std::ofstream(dir.path() / name) << "no camera\n";
  }
  const auto devices = capture_devices(dir.path());
  REQUIRE(devices.size() == 2);
  CHECK(devices[0].file.filename() == "video2");
  CHECK(devices[1].file.filename() == "video10");
  CHECK(devices[0].problem == "it is no device");
  CHECK_FALSE(devices[0].mend.empty());
  CHECK_THROWS_AS(capture_devices(dir.path() / "absent"), InputError);
}
