// SPDX-License-Identifier: MIT
#include "live/frame_log.h"

#include <cstdlib>
#include <iterator>
#include <vector>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr std::size_t kOfFrame = 4;
constexpr std::size_t kOfSighting = 11;

}  // namespace

// fmt writes the shortest text that reads back as the same number.
std::string frame_line(const FrameSightings& frame) {
  std::string line = fmt::format("{} {} {} {}",
                                 frame.index,
                                 frame.t_s,
                                 frame.news.settled_until_s,
                                 frame.s_t_s);
  for (const Sighting& s : frame.sightings) {
    fmt::format_to(std::back_inserter(line),
                   " {} {} {} {} {} {} {} {} {} {} {}",
                   s.t_s,
                   s.centre_px.x(),
                   s.centre_px.y(),
                   s.sigma_px,
                   s.diameter_px,
                   s.streak_px.x(),
                   s.streak_px.y(),
                   s.contrast,
                   s.cut_off ? 1 : 0,
                   s.fitted_row_px,
                   s.frame);
  }
  return line;
}

std::optional<FrameSightings> read_frame_line(std::string_view line) {
  const std::string text(line);
  std::vector<double> numbers;
  const char* at = text.c_str();
  while (*at != '\0') {
    char* end = nullptr;
    numbers.push_back(std::strtod(at, &end));
    if (end == at) return std::nullopt;
    at = end;
    while (*at == ' ') ++at;
  }
  if (numbers.size() < kOfFrame ||
      (numbers.size() - kOfFrame) % kOfSighting != 0) {
    return std::nullopt;
  }
  FrameSightings frame;
  frame.index = static_cast<int>(numbers[0]);
  frame.t_s = numbers[1];
  frame.news.settled_until_s = numbers[2];
  frame.s_t_s = numbers[3];
  for (std::size_t i = kOfFrame; i < numbers.size(); i += kOfSighting) {
    const double* n = &numbers[i];
    Sighting s;
    s.t_s = n[0];
    s.centre_px = {n[1], n[2]};
    s.sigma_px = n[3];
    s.diameter_px = n[4];
    s.streak_px = {n[5], n[6]};
    s.contrast = n[7];
    s.cut_off = n[8] != 0;
    s.fitted_row_px = n[9];
    s.frame = static_cast<int>(n[10]);
    frame.sightings.push_back(s);
  }
  return frame;
}

}  // namespace evenfeed
