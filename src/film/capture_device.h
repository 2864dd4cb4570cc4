// SPDX-License-Identifier: MIT
// Capture devices and what they offer, as their drivers (V4L2) say it.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

struct CaptureSize {
  int width_px = 0;
  int height_px = 0;
  std::vector<double> rates_hz;  ///< fastest first; empty: not told
  /// The driver offers any size up to this one, or any rate up to the first.
  bool any_below = false;
};

struct CaptureFormat {
  std::string code;   ///< of four letters: "MJPG", "YUYV"
  std::string words;  ///< the driver's
  bool coded = false;
  std::vector<CaptureSize> sizes;  ///< largest first
};

struct CaptureDevice {
  std::filesystem::path file;
  std::string name;
  std::vector<CaptureFormat> formats;
  std::string problem;  ///< why it gives no pictures; empty: it does
  std::string mend;
};

/// Asks a driver: false when it has no (further) answer.
using AskDriver = std::function<bool(unsigned long request, void* about)>;

/// What a driver says of its device; nullopt when that gives no pictures at all
/// (a webcam's second node has metadata only).
[[nodiscard]] std::optional<CaptureDevice> ask_device(
    const std::filesystem::path& file, const AskDriver& ask);

/// The device that is this file; nullopt as above.
[[nodiscard]] std::optional<CaptureDevice> capture_device(
    const std::filesystem::path& file);

/// Everything in `folder` that is named video0, video1, ..., by its number.
[[nodiscard]] std::vector<CaptureDevice> capture_devices(
    const std::filesystem::path& folder);

/// The device's fastest rate at this size, 0 when it does not have it; of
/// `format` alone when that is given.
[[nodiscard]] double fastest_hz(const CaptureFormat& format,
                                int width_px,
                                int height_px);

/// The format to ask for so that this size comes at this rate: one that is not
/// coded if that does, for nothing is lost in it. nullptr: none does.
[[nodiscard]] const CaptureFormat* format_for(const CaptureDevice& device,
                                              int width_px,
                                              int height_px,
                                              double rate_hz);

/// What FFmpeg calls a coded format when it is asked for it; empty for raw
/// ones, of which it takes the best by itself.
[[nodiscard]] std::string coded_name(const CaptureFormat& format);

}  // namespace evenfeed
