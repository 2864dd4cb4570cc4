// SPDX-License-Identifier: MIT
#include "calibration/calibrate_film.h"

#include "calibration/flight_direction.h"
#include "film/background_still.h"
#include "film/video_source.h"

#include <algorithm>
#include <utility>

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
    } else {
      done.result.message = flight.why_open() + ", and " + done.result.message;
    }
  }
  done.notes = film_notes(film, video);
  if (progress) progress(1);
  return done;
}

}  // namespace evenfeed
