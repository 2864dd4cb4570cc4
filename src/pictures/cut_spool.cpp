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
#include <opencv2/imgcodecs.hpp>
#include <unistd.h>

namespace evenfeed {
namespace {

// Half a million balls of the usual size: hours of film. Noise that passes for
// balls shall not fill a disk.
constexpr std::uint64_t kMostBytes = 1'000'000'000;
constexpr int kMostPerFrame = 12;
constexpr double kFewestPixels = 3;            // beyond the streak's end
constexpr double kRadii = 1.8;                 // around it: shadow and surface
constexpr double kUnknownDiameter = 1. / 100;  // of the picture's width
constexpr double kLargest = 1. / 6;            // of the picture's height
constexpr int kJpegQuality = 92;

struct Record {
  std::int32_t frame;
  std::int32_t u, v;
  std::uint32_t bytes;
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
  return cv::Rect(low, high) & cv::Rect({}, picture);
}

}  // namespace

CutSpool::CutSpool(const std::filesystem::path& folder) {
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

void CutSpool::add(const Frame& frame,
                   const std::vector<Sighting>& sightings,
                   const ColourCode& code) {
  if (sightings.size() > kMostPerFrame) return;  // no ball is told from noise
  for (const Sighting& s : sightings) {
    if (!broken_.empty()) return;
    const cv::Rect area = area_around(s, frame.luma.size());
    if (area.empty()) continue;
    keep({frame.index,
          s.centre_px,
          area.tl(),
          colour_picture(frame, area, code)});
  }
}

void CutSpool::keep(const BallCut& cut) {
  std::vector<uchar> jpeg;
  cv::imencode(
      ".jpg", cut.picture, jpeg, {cv::IMWRITE_JPEG_QUALITY, kJpegQuality});
  const Record record{cut.frame,
                      cut.corner_px.x,
                      cut.corner_px.y,
                      static_cast<std::uint32_t>(jpeg.size()),
                      cut.seen_px.x(),
                      cut.seen_px.y()};
  if (bytes_ + sizeof record + jpeg.size() > kMostBytes) {
    broken_ = "too much moves in the film";
    return;
  }
  const bool written =
      std::fwrite(&record, sizeof record, 1, file_.get()) == 1 &&
      std::fwrite(jpeg.data(), 1, jpeg.size(), file_.get()) == jpeg.size();
  if (!written) {
    broken_ = std::strerror(errno);
    return;
  }
  bytes_ += sizeof record + jpeg.size();
}

void CutSpool::rewind() {
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
  std::vector<uchar> jpeg(record.bytes);
  if (std::fread(jpeg.data(), 1, jpeg.size(), file_.get()) != jpeg.size()) {
    return std::nullopt;
  }
  BallCut cut;
  cut.frame = record.frame;
  cut.seen_px = {record.seen_u, record.seen_v};
  cut.corner_px = {record.u, record.v};
  cut.picture = cv::imdecode(jpeg, cv::IMREAD_COLOR);
  return cut;
}

}  // namespace evenfeed
