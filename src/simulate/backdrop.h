// SPDX-License-Identifier: MIT
// The picture of the hall without anything that moves, in linear light, with
// what is needed to put balls into it. Drawn once per film.
#pragma once

#include "simulate/hall.h"

#include <opencv2/core.hpp>

namespace evenfeed {

struct Backdrop {
  cv::Mat3f light;    ///< red green blue, vignetted and blurred
  cv::Mat1f depth_m;  ///< along the line of sight to what is not the net
  cv::Mat1f net_depth_m;
  cv::Mat1f net_cover;  ///< 0..1: part of the pixel behind the net's mesh
  cv::Mat1f on_table;   ///< 0..1: part of the pixel that is playing surface
  cv::Mat1f on_floor;
  cv::Mat2f sight;  ///< undistorted (x, y) of the pixel's middle
};

/// Edges are averaged over 64 lines of sight per pixel, of which no two share
/// a row or a column: a straight edge is off by 1/128 px at most.
Backdrop draw_backdrop(const Scene& scene, const Hall& hall);

/// Light that reaches the picture at (u, v), 1 in the middle.
double vignetting(const Scene& scene, double u_px, double v_px);

}  // namespace evenfeed
