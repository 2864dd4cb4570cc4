// SPDX-License-Identifier: MIT
// Tells whether a film's table is glossy, and then leaves the balls' images in
// it out of each picture, before they are linked to tracks: at the bounce a
// ball and its image meet, and at 25 pictures a second little tells a track
// from the other.
//
// Two things in one picture may happen to lie as a ball and its image do. But
// the height that they tell falls faster and faster, as a ball does, while two
// balls fall alike and tell one that does not. The table is glossy when such
// heights together surely do so, no faster than spin allows, and when clearly
// more pairs lie as ball and image do than beside that.
#pragma once

#include "flight/mirror_image.h"

#include <vector>

namespace evenfeed {

class GlossyTable {
 public:
  GlossyTable(const CameraModel& camera, const Surface& surface)
      : camera_(camera), surface_(surface) {}

  /// The next picture's sightings, pictures in order of time.
  void add_frame(double t_frame_s, const std::vector<Sighting>& sightings);
  /// Images are seen in it. Once known it stays so.
  bool known() const { return known_; }
  /// The sightings of one picture without those that are images of others; all
  /// of them while the table is not known to show any.
  [[nodiscard]] std::vector<Sighting> without_images(
      const std::vector<Sighting>& sightings) const;

 private:
  struct Height {
    double t_s;
    Eigen::Vector3d at_m;
    double s_height_m;
  };
  using Run = std::vector<Height>;  // of one ball

  struct Pair {
    std::size_t ball, image;
    BallWithImage both;
  };
  std::vector<Pair> pairs(const std::vector<Sighting>& sightings) const;
  std::vector<Sighting> without_still(const std::vector<Sighting>& sightings);
  void prolong(const Height& next);
  void close_runs(double until_s);
  void weigh(const Run& arc);
  bool heights_fall() const;

  CameraModel camera_;
  Surface surface_;
  std::vector<Sighting> last_;  // of the picture before
  std::vector<Run> open_;
  int meeting_ = 0;  // pairs that lie as ball and image do
  int beside_ = 0;   // that lie beside that, of what is in no such pair
  std::vector<double> falls_mps2_;  // of the heights' arcs
  bool known_ = false;
};

}  // namespace evenfeed
