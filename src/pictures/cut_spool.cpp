// SPDX-License-Identifier: MIT
#include "pictures/cut_spool.h"

#include "base/error.h"
#include "film/colour_picture.h"

#include <algorithm>
#include <cerrno>
#include <cmath>
#include <cstring>

#include <fmt/format.h>
#include <opencv2/core.hpp>
#include <unistd.h>

namespace evenfeed {
namespace {

constexpr int kMostPerFrame = 12;
constexpr double kFewestPixels = 3;            // beyond the streak's end
constexpr double kRadii = 1.8;                 // around it: shadow and surface
constexpr double kUnknownDiameter = 1. / 100;  // of the picture's width
constexpr double kLargest = 1. / 6;            // of the picture's height

struct Record {
  std::int32_t frame;
  std::int32_t u, v, width, height;
  std::int32_t colour;
  double seen_u, seen_v;
};

cv::Rect area_around(const Sighting& s, const cv::Size& picture) {
  const double diameter_px = std::isfinite(s.diameter_px)
                                 ? s.diameter_px
                                 : kUnknownDiameter * picture.width;
  const Eigen::Vector2d half =
      (s.streak_px.cwiseAbs() / 2).array() +
      std::max(kFewestPixels, kRadii * diameter_px / 2);
  const double most = kLargest * picture.height;
  const Eigen::Vector2d reach = half.cwiseMin(most);
  const cv::Point low(
      static_cast<int>(std::floor(s.centre_px.x() - reach.x())),
      static_cast<int>(std::floor(s.centre_px.y() - reach.y())));
  const cv::Point high(
      static_cast<int>(std::ceil(s.centre_px.x() + reach.x())) + 1,
      static_cast<int>(std::ceil(s.centre_px.y() + reach.y())) + 1);
  // From an even place on: colours are stored at half size.
  const cv::Point even(std::max(0, low.x) / 2 * 2, std::max(0, low.y) / 2 * 2);
  return cv::Rect(even, high) & cv::Rect({}, picture);
}

}  // namespace

CutSpool::CutSpool(const std::filesystem::path& folder,
                   std::uint64_t most_bytes)
    : most_bytes_(most_bytes) {
  std::string name = (folder / ".cuts.XXXXXX").string();
  const int handle = ::mkstemp(name.data());
  if (handle >= 0) {
    ::unlink(name.c_str());
    file_.reset(::fdopen(handle, "w+b"));
  }
  if (!file_) {
    throw InputError(
        folder.string(),
        fmt::format("no file can be made in it ({})", std::strerror(errno)),
        "Give --out another folder, or --pictures none");
  }
}

void CutSpool::add(const Frame& frame, const std::vector<Sighting>& sightings) {
  if (sightings.size() > kMostPerFrame) return;  // no ball is told from noise
  for (const Sighting& s : sightings) {
    if (!broken_.empty()) return;
    const cv::Rect area = area_around(s, frame.luma.size());
    if (!area.empty()) keep(frame, area, s.centre_px);
  }
}

bool CutSpool::put(const cv::Mat& plane) {
  for (int v = 0; v < plane.rows; ++v) {
    const auto bytes = static_cast<std::size_t>(plane.cols);
    if (std::fwrite(plane.ptr(v), 1, bytes, file_.get()) != bytes) return false;
  }
  bytes_ += plane.total();
  return true;
}

// The planes as they are: half of what colours would take, and cheaper than
// any coding of pictures so small.
void CutSpool::keep(const Frame& frame,
                    const cv::Rect& area,
                    const Eigen::Vector2d& seen_px) {
  const bool colour = !frame.blue.empty() && !frame.red.empty();
  const Record record{frame.index,
                      area.x,
                      area.y,
                      area.width,
                      area.height,
                      colour ? 1 : 0,
                      seen_px.x(),
                      seen_px.y()};
  if (bytes_ > most_bytes_) {
    broken_ = "too much moves in the film";
    return;
  }
  const cv::Rect half(
      area.x / 2, area.y / 2, (area.width + 1) / 2, (area.height + 1) / 2);
  const bool written =
      std::fwrite(&record, sizeof record, 1, file_.get()) == 1 &&
      put(frame.luma(area)) &&
      (!colour || (put(frame.blue(half)) && put(frame.red(half))));
  if (!written) broken_ = std::strerror(errno);
  bytes_ += sizeof record;
}

bool CutSpool::get(cv::Mat& plane, const cv::Size& size) {
  plane.create(size, CV_8UC1);
  return std::fread(plane.data, 1, plane.total(), file_.get()) == plane.total();
}

void CutSpool::rewind(const ColourCode& code) {
  code_ = code;
  if (std::fflush(file_.get()) != 0 && broken_.empty()) {
    broken_ = std::strerror(errno);
  }
  std::rewind(file_.get());
}

std::optional<BallCut> CutSpool::next() {
  Record record{};
  if (std::fread(&record, sizeof record, 1, file_.get()) != 1) {
    return std::nullopt;
  }
  const cv::Size size(record.width, record.height);
  const cv::Size half((size.width + 1) / 2, (size.height + 1) / 2);
  Frame part;
  const bool whole =
      get(part.luma, size) &&
      (record.colour == 0 || (get(part.blue, half) && get(part.red, half)));
  if (!whole) return std::nullopt;
  BallCut cut;
  cut.frame = record.frame;
  cut.seen_px = {record.seen_u, record.seen_v};
  cut.corner_px = {record.u, record.v};
  cut.picture = colour_picture(part, code_);
  return cut;
}

}  // namespace evenfeed
