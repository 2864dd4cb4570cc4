// SPDX-License-Identifier: MIT
#include "pictures/pair_picture.h"

#include "base/check.h"
#include "film/colour_picture.h"
#include "pictures/flown_part.h"
#include "pictures/same_stance.h"

#include <cmath>
#include <limits>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr std::size_t kLongestName = 24;
constexpr double kApart = 1.5;  // of balls in the still, in diameters

cv::Mat even_part(const cv::Mat& picture) {
  return picture(cv::Rect(0, 0, picture.cols / 2 * 2, picture.rows / 2 * 2));
}

std::string short_name(const std::string& name) {
  const std::string letters = drawable(name);
  return letters.size() <= kLongestName
             ? letters
             : letters.substr(0, kLongestName - 2) + "..";
}

}  // namespace

PairPicture::PairPicture(const MatchedPair& pair,
                         const PairFilmOptions& options,
                         bool in_one_picture,
                         const std::array<VideoInfo, 2>& films)
    : pair_(pair),
      options_(options),
      in_one_picture_(in_one_picture),
      films_(films),
      contacts_s_{*pair[0].contact_s(), *pair[1].contact_s()} {
  if (in_one_picture) {
    pair_[1].flown = drawn_into(pair[1].flown, pair[0]);
    pair_[1].camera = pair[0].camera;
    films_[1] = films[0];
  }
  for (std::size_t i = 0; i < 2; ++i) {
    pair_[i].sample = short_name(pair[i].sample);
    const CameraModel& camera = pair_[i].camera;
    views_[i].area = cv::Rect(0, 0, camera.width_px, camera.height_px);
    views_[i].rotation_deg = films_[i].rotation_deg;
  }
}

PairPicture::Layer PairPicture::layer_of(std::size_t i,
                                         const FilmMoment& moment) const {
  Layer layer;
  layer.picture =
      even_part(colour_picture(moment.frame, films_[i].colours)).clone();
  const auto ball =
      flown_at(pair_[i].flown, contacts_s_[i] + moment.after_contact_s);
  if (ball) layer.ball = ball_place(*ball, pair_[i].camera, views_[i]);
  return layer;
}

void PairPicture::keep_ball(std::size_t i, const Layer& layer) {
  if (scenes_[i].empty()) scenes_[i] = layer.picture.clone();
  if (!layer.ball) return;
  std::vector<Sighting>& seen = seen_[i].sightings;
  Sighting ball;
  ball.centre_px = layer.ball->at_px;
  ball.diameter_px = 2 * layer.ball->radius_px;
  ball.frame = static_cast<int>(seen.size());
  if (!seen.empty() && (seen.back().centre_px - ball.centre_px).norm() <
                           kApart * ball.diameter_px) {
    return;
  }
  const double half_px = 1.8 * ball.diameter_px + 4;
  const cv::Rect box(static_cast<int>(std::floor(ball.centre_px.x() - half_px)),
                     static_cast<int>(std::floor(ball.centre_px.y() - half_px)),
                     static_cast<int>(std::ceil(2 * half_px)),
                     static_cast<int>(std::ceil(2 * half_px)));
  const cv::Rect inside = box & cv::Rect({}, layer.picture.size());
  if (inside.empty()) return;
  cuts_[i].push_back(
      {ball.frame, ball.centre_px, inside.tl(), layer.picture(inside).clone()});
  seen.push_back(ball);
}

std::vector<CornerLine> PairPicture::words_of(std::size_t i,
                                              double off_s) const {
  const TrialLook& look = trial_looks()[i];
  const std::string& name = pair_[i].sample;
  std::vector<CornerLine> lines{
      {fmt::format("{}: feed {}, {}",
                   name,
                   pair_[i].feed.number,
                   look.dashed ? "dashed, diamond" : "solid, ring"),
       look.colour}};
  if (!shown(i)) {
    lines.push_back({fmt::format("drawn into the film of {}: its own camera "
                                 "stood elsewhere",
                                 pair_[0].sample),
                     look.colour});
  } else if (std::isfinite(off_s) && std::abs(off_s) >= 5e-5) {
    lines.push_back(
        {fmt::format("its picture {:.1f} ms {}, its flight drawn at this "
                     "moment",
                     1000 * std::abs(off_s),
                     off_s < 0 ? "earlier" : "later"),
         look.colour});
  }
  return lines;
}

// When both have shown what is compared.
std::vector<CornerLine> PairPicture::difference_at(double at_s) const {
  for (std::size_t i = 0; i < 2; ++i) {
    const auto net = marked_point(pair_[i].flown, FlightMark::kNet);
    const FlownPoint& last = net ? *net : pair_[i].flown.path.back();
    if (contacts_s_[i] + at_s < last.t_s) return {};
  }
  return white_lines(difference_words(pair_));
}

cv::Mat PairPicture::composed(
    const std::array<Layer, 2>& layers,
    double at_s,
    const std::array<std::vector<CornerLine>, 2>& words) const {
  const bool one = in_one_picture_ || options_.form == PairForm::kGhosts;
  std::array<cv::Mat, 2> pictures{layers[0].picture, layers[1].picture};
  if (one && !in_one_picture_) {
    pictures[0] = ghosts_of({GhostLayer{pictures[0], layers[0].ball},
                             GhostLayer{pictures[1], layers[1].ball}});
  }
  for (std::size_t i = 0; i < 2; ++i) {
    cv::Mat& picture = pictures[one ? 0 : i];
    const std::vector<FlownPoint> path =
        flown_by(pair_[i].flown, contacts_s_[i] + at_s);
    draw_trial(picture, path, views_[i], trial_looks()[i], pair_[i].sample);
    if (const auto ball = flown_at(pair_[i].flown, contacts_s_[i] + at_s)) {
      const BallPlace place = ball_place(*ball, pair_[i].camera, views_[i]);
      draw_ball(picture,
                trial_looks()[i].form,
                place.at_px,
                1.5 * place.radius_px + 2,
                trial_looks()[i].colour);
    }
  }
  const std::vector<CornerLine> difference = difference_at(at_s);
  std::vector<CornerLine> upper = words[0];
  if (one) upper.insert(upper.end(), words[1].begin(), words[1].end());
  const bool before = at_s < 0;
  upper.push_back({std::isfinite(at_s)
                       ? fmt::format("{:.3f} s {} the contact",
                                     std::abs(at_s),
                                     before ? "before" : "after")
                       : "both from launcher to return",
                   cv::Scalar::all(255)});
  draw_corner(pictures[0], upper);
  draw_corner(pictures[0], difference, Corner::kLowerLeft);
  if (one) return pictures[0];
  draw_corner(pictures[1], words[1]);
  return side_by_side(
      pictures, options_.form == PairForm::kStacked, options_.most_px);
}

cv::Mat PairPicture::drawn(const std::array<const FilmMoment*, 2>& moments,
                           double at_s) {
  std::array<Layer, 2> layers;
  std::array<std::vector<CornerLine>, 2> words;
  for (std::size_t i = 0; i < 2; ++i) {
    double off_s = std::numeric_limits<double>::quiet_NaN();
    if (shown(i)) {
      require(moments[i] != nullptr, "a film that is shown has a frame");
      layers[i] = layer_of(i, *moments[i]);
      keep_ball(i, layers[i]);
      off_s = moments[i]->after_contact_s - at_s;
    }
    words[i] = words_of(i, off_s);
  }
  return composed(layers, at_s, words);
}

cv::Mat PairPicture::still() const {
  require(!scenes_[0].empty(), "a still is made of what was drawn");
  std::array<Layer, 2> layers;
  std::array<std::vector<CornerLine>, 2> words;
  const bool ghosts = options_.form == PairForm::kGhosts && !in_one_picture_;
  for (std::size_t i = 0; i < 2; ++i) {
    words[i] = words_of(i, std::numeric_limits<double>::quiet_NaN());
    if (shown(i)) layers[i].picture = scenes_[i].clone();
  }
  if (ghosts) {
    // One scene for both, so that all balls are whole.
    layers[0].picture = layers[1].picture = ghosts_of(
        {GhostLayer{layers[0].picture, {}}, GhostLayer{layers[1].picture, {}}});
  }
  for (std::size_t i = 0; i < 2; ++i) {
    cv::Mat& scene = layers[ghosts ? 0 : i].picture;
    if (!scene.empty()) scene = with_balls(scene, seen_[i], cuts_[i]);
  }
  if (ghosts) layers[1].picture = layers[0].picture;
  return composed(layers, std::numeric_limits<double>::infinity(), words);
}

}  // namespace evenfeed
