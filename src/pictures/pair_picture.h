// SPDX-License-Identifier: MIT
// A moment of two matched trials as one picture, and all moments as one still.
#pragma once

#include "pictures/corner_words.h"
#include "pictures/film_moments.h"
#include "pictures/pair_film.h"
#include "pictures/trial_drawing.h"

#include <array>
#include <vector>

namespace evenfeed {

class PairPicture {
 public:
  /// `films`: of each of the two; only the first's when `in_one_picture`.
  PairPicture(const MatchedPair& pair,
              const PairFilmOptions& options,
              bool in_one_picture,
              const std::array<VideoInfo, 2>& films);

  /// `moments` of both (of the first alone), at `at_s` after the contact.
  [[nodiscard]] cv::Mat drawn(const std::array<const FilmMoment*, 2>& moments,
                              double at_s);
  /// Both flights whole, with every ball that was drawn so far.
  [[nodiscard]] cv::Mat still() const;

 private:
  struct Layer {
    cv::Mat picture;
    std::optional<BallPlace> ball;
  };
  Layer layer_of(std::size_t i, const FilmMoment& moment) const;
  void keep_ball(std::size_t i, const Layer& layer);
  bool shown(std::size_t i) const { return i == 0 || !in_one_picture_; }
  /// Their own pictures, or one for both.
  cv::Mat composed(const std::array<Layer, 2>& layers,
                   double at_s,
                   const std::array<std::vector<CornerLine>, 2>& words) const;
  std::vector<CornerLine> words_of(std::size_t i, double off_s) const;
  std::vector<CornerLine> difference_at(double at_s) const;

  MatchedPair pair_;
  PairFilmOptions options_;
  bool in_one_picture_;
  std::array<VideoInfo, 2> films_;
  std::array<PictureView, 2> views_;
  std::array<double, 2> contacts_s_;
  std::array<cv::Mat, 2> scenes_;  ///< the first frame of each
  std::array<FlownFeed, 2> seen_;  ///< places of the kept balls
  std::array<std::vector<BallCut>, 2> cuts_;
};

}  // namespace evenfeed
