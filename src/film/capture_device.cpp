// SPDX-License-Identifier: MIT
#include "film/capture_device.h"

#include "base/error.h"

#include <algorithm>
#include <cctype>
#include <cerrno>
#include <cstring>
#include <system_error>

#include <fcntl.h>
#include <fmt/format.h>
#include <linux/videodev2.h>
#include <sys/ioctl.h>
#include <unistd.h>

namespace evenfeed {

namespace fs = std::filesystem;

namespace {

// More of anything than a driver ever lists: one that never ends is left.
constexpr unsigned kMost = 256;
// A camera's 30 a second may be told as 29.97.
constexpr double kSameRate = 0.99;

std::string code_of(unsigned pixel_format) {
  std::string code;
  for (int i = 0; i < 4; ++i) {
    const char letter = static_cast<char>((pixel_format >> (8 * i)) & 0x7f);
    if (std::isgraph(static_cast<unsigned char>(letter)) != 0) code += letter;
  }
  return code;
}

// A driver's texts need not end.
template <std::size_t N>
std::string text_of(const unsigned char (&text)[N]) {
  const auto* begin = reinterpret_cast<const char*>(text);
  return {begin, strnlen(begin, N)};
}

double rate_of(const v4l2_fract& interval) {
  return interval.numerator == 0
             ? 0
             : static_cast<double>(interval.denominator) / interval.numerator;
}

void ask_rates(const AskDriver& ask, unsigned pixel_format, CaptureSize& size) {
  for (unsigned i = 0; i < kMost; ++i) {
    v4l2_frmivalenum one{};
    one.index = i;
    one.pixel_format = pixel_format;
    one.width = static_cast<unsigned>(size.width_px);
    one.height = static_cast<unsigned>(size.height_px);
    if (!ask(VIDIOC_ENUM_FRAMEINTERVALS, &one)) break;
    const bool discrete = one.type == V4L2_FRMIVAL_TYPE_DISCRETE;
    size.rates_hz.push_back(
        rate_of(discrete ? one.discrete : one.stepwise.min));
    if (discrete) continue;
    size.any_below = true;
    break;
  }
  std::sort(size.rates_hz.begin(), size.rates_hz.end(), std::greater<>());
}

std::vector<CaptureSize> ask_sizes(const AskDriver& ask,
                                   unsigned pixel_format) {
  std::vector<CaptureSize> sizes;
  for (unsigned i = 0; i < kMost; ++i) {
    v4l2_frmsizeenum one{};
    one.index = i;
    one.pixel_format = pixel_format;
    if (!ask(VIDIOC_ENUM_FRAMESIZES, &one)) break;
    const bool discrete = one.type == V4L2_FRMSIZE_TYPE_DISCRETE;
    CaptureSize size;
    size.width_px = static_cast<int>(discrete ? one.discrete.width
                                              : one.stepwise.max_width);
    size.height_px = static_cast<int>(discrete ? one.discrete.height
                                               : one.stepwise.max_height);
    size.any_below = !discrete;
    ask_rates(ask, pixel_format, size);
    sizes.push_back(size);
    if (!discrete) break;
  }
  std::sort(sizes.begin(), sizes.end(), [](const auto& a, const auto& b) {
    return a.width_px * a.height_px > b.width_px * b.height_px;
  });
  return sizes;
}

bool has_size(const CaptureSize& size, int width_px, int height_px) {
  if (size.width_px == width_px && size.height_px == height_px) return true;
  return size.any_below && width_px <= size.width_px &&
         height_px <= size.height_px;
}

CaptureDevice troubled(const fs::path& file,
                       std::string problem,
                       std::string mend) {
  CaptureDevice device;
  device.file = file;
  device.problem = std::move(problem);
  device.mend = std::move(mend);
  return device;
}

CaptureDevice unopened(const fs::path& file, int error) {
  if (error == EACCES || error == EPERM) {
    return troubled(file,
                    "it may not be opened",
                    "Join the group that owns it (sudo usermod -aG video "
                    "$USER), then log in anew");
  }
  if (error == EBUSY) {
    return troubled(
        file, "another program has it", "End the program that films with it");
  }
  return troubled(file,
                  fmt::format("it cannot be opened ({})",
                              std::generic_category().message(error)),
                  "Unplug the camera and plug it in again");
}

// Of "video12"; nullopt for another name.
std::optional<int> number_of(const std::string& name) {
  constexpr std::string_view kBegin = "video";
  const std::string digits =
      name.starts_with(kBegin) ? name.substr(kBegin.size()) : "";
  const bool plain =
      !digits.empty() && digits.size() < 6 &&
      digits.find_first_not_of("0123456789") == std::string::npos;
  return plain ? std::optional(std::stoi(digits)) : std::nullopt;
}

}  // namespace

std::optional<CaptureDevice> ask_device(const fs::path& file,
                                        const AskDriver& ask) {
  v4l2_capability about{};
  if (!ask(VIDIOC_QUERYCAP, &about)) {
    return troubled(file,
                    "it does not answer as a camera does",
                    "Leave it out, or plug the camera in again");
  }
  const bool own = (about.capabilities & V4L2_CAP_DEVICE_CAPS) != 0;
  const unsigned can = own ? about.device_caps : about.capabilities;
  CaptureDevice device;
  device.file = file;
  device.name = text_of(about.card);
  if ((can & V4L2_CAP_VIDEO_CAPTURE) == 0) {
    if ((can & V4L2_CAP_VIDEO_CAPTURE_MPLANE) == 0) return std::nullopt;
    device.problem = "its pictures come in planes, which FFmpeg does not read";
    device.mend = "Let a program of the camera's maker stream it to an address";
    return device;
  }
  for (unsigned i = 0; i < kMost; ++i) {
    v4l2_fmtdesc one{};
    one.index = i;
    one.type = V4L2_BUF_TYPE_VIDEO_CAPTURE;
    if (!ask(VIDIOC_ENUM_FMT, &one)) break;
    device.formats.push_back({code_of(one.pixelformat),
                              text_of(one.description),
                              (one.flags & V4L2_FMT_FLAG_COMPRESSED) != 0,
                              ask_sizes(ask, one.pixelformat)});
  }
  if (device.formats.empty()) {
    device.problem = "it offers no pictures";
    device.mend = "Plug the camera in again; see what its maker says";
  }
  return device;
}

std::optional<CaptureDevice> capture_device(const fs::path& file) {
  std::error_code error;
  if (!fs::is_character_file(file, error)) {
    return troubled(
        file, "it is no device", "Leave it out: it is not a camera's");
  }
  const int handle = ::open(file.c_str(), O_RDWR | O_NONBLOCK | O_CLOEXEC);
  if (handle < 0) return unopened(file, errno);
  auto device = ask_device(file, [&](unsigned long request, void* about) {
    int status = 0;
    do {
      status = ::ioctl(handle, request, about);
    } while (status < 0 && errno == EINTR);
    return status >= 0;
  });
  ::close(handle);
  return device;
}

std::vector<CaptureDevice> capture_devices(const fs::path& folder) {
  std::vector<std::pair<int, fs::path>> files;
  std::error_code error;
  fs::directory_iterator entries(folder, error);
  if (error) {
    throw InputError(folder.string(),
                     "this folder cannot be read",
                     "Give the folder that cameras appear in, /dev");
  }
  for (const fs::directory_entry& entry : entries) {
    if (const auto number = number_of(entry.path().filename().string())) {
      files.emplace_back(*number, entry.path());
    }
  }
  std::sort(files.begin(), files.end());
  std::vector<CaptureDevice> devices;
  for (const auto& [number, file] : files) {
    if (auto device = capture_device(file))
      devices.push_back(std::move(*device));
  }
  return devices;
}

double fastest_hz(const CaptureFormat& format, int width_px, int height_px) {
  double fastest = 0;
  for (const CaptureSize& size : format.sizes) {
    if (!has_size(size, width_px, height_px) || size.rates_hz.empty()) continue;
    fastest = std::max(fastest, size.rates_hz.front());
  }
  return fastest;
}

const CaptureFormat* format_for(const CaptureDevice& device,
                                int width_px,
                                int height_px,
                                double rate_hz) {
  const CaptureFormat* found = nullptr;
  for (const CaptureFormat& format : device.formats) {
    if (fastest_hz(format, width_px, height_px) < kSameRate * rate_hz) continue;
    if (found == nullptr || (found->coded && !format.coded)) found = &format;
  }
  return found;
}

std::string coded_name(const CaptureFormat& format) {
  if (!format.coded) return "";
  if (format.code == "MJPG" || format.code == "JPEG") return "mjpeg";
  if (format.code == "H264") return "h264";
  return format.code == "HEVC" ? "hevc" : "";
}

}  // namespace evenfeed
