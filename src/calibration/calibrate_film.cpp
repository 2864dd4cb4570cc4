// SPDX-License-Identifier: MIT
#include "calibration/calibrate_film.h"

#include "calibration/calibrate_still.h"
#include "calibration/flight_direction.h"
#include "calibration/picture_unrest.h"
#include "film/background_still.h"
#include "film/video_samples.h"
#include "film/video_source.h"
#include "geometry/halting_words.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr int kStills = 31;
constexpr double kLongest_s = 90;  // of film watched for the direction
constexpr int kEnoughSteps = 60;

void watch_balls(VideoSource& source,
                 FlightDirection& flight,
                 const CalibrationProgress& progress) {
  while (const auto frame = source.next()) {
    flight.add(frame->luma, frame->t_s);
    if (frame->index % 16 != 0) continue;
    if (progress) progress(0.3 + 0.6 * std::min(1.0, frame->t_s / kLongest_s));
    if (flight.along_x(kEnoughSteps)) break;
    if (frame->t_s > kLongest_s) break;
  }
}

bool smeared_looks_so(CalibrationStatus status) {
  return status == CalibrationStatus::kNoTable ||
         status == CalibrationStatus::kTooFewLines ||
         status == CalibrationStatus::kBadFit;
}

// Why a table that is there was not found.
std::string words_on_unrest(const std::filesystem::path& film,
                            const VideoOptions& video) {
  constexpr int kPictures = 9;
  constexpr double kStandsStill_px = 0.7;
  std::vector<cv::Mat> pictures;
  for (const Frame& frame : sample_frames(film, kPictures, video)) {
    pictures.push_back(frame.luma);
  }
  const double unrest_px = picture_unrest_px(pictures);
  if (unrest_px < kStandsStill_px) return "";
  return fmt::format(
      "the picture does not stand still, it moves by about {:.0f} px (digital "
      "stabilisation, or a camera that is not fixed: turn the one off, fix the "
      "other, and film again): ",
      std::ceil(unrest_px));
}

}  // namespace

cv::Mat calibration_still(const std::filesystem::path& film) {
  return background_still(film, kStills);
}

FilmCalibration calibrate_film(const std::filesystem::path& film,
                               const Surface& surface,
                               const CalibrationOptions& options,
                               const CalibrationProgress& progress,
                               const VideoOptions& video) {
  options.check();
  FilmCalibration done;
  VideoSource source(film, video);
  done.rotation_deg = source.info().rotation_deg;
  done.background = calibration_still(film);
  if (progress) progress(0.3);
  CalibrationOptions own = options;
  own.rotation_deg = done.rotation_deg;
  done.result = calibrate_still(done.background, surface, own);
  if (done.result.status == CalibrationStatus::kWhichEnd &&
      own.launcher_end == LauncherEnd::kNotSaid) {
    FlightDirection flight(
        done.background, done.result.fit.solution.camera, surface);
    watch_balls(source, flight, progress);
    if (const auto along_x = flight.along_x()) {
      done.result = settle_calibration(
          std::move(done.result), done.background, surface, own, *along_x);
    } else if (const auto why = flight.saved_again(); !why.empty()) {
      done.result.message = why + ". " + kGiveAsTaken;
    } else {
      done.result.message = flight.why_open() + ", and " + done.result.message;
    }
  }
  if (smeared_looks_so(done.result.status)) {
    done.result.message = words_on_unrest(film, video) + done.result.message;
  }
  done.notes = film_notes(film, video);
  if (progress) progress(1);
  return done;
}

}  // namespace evenfeed
