// SPDX-License-Identifier: MIT
// A shipped scene, changed and filmed, and the bench its film shows.
#pragma once

#include "calibration/calibrate_film.h"
#include "simulate/film.h"
#include "support/temp_dir.h"
#include "unit/simulate/test_scene.h"

#include <filesystem>
#include <string>

#include <doctest/doctest.h>

namespace evenfeed {

struct FilmedScene {
  TempDir folder;
  Profile profile = load_profile(profile_of_tree("table-tennis"));
  Scene scene = shipped_scene("short640p60");
  Film film;
  Bench bench;

  /// `change` the scene before it is filmed.
  template <typename Change>
  FilmedScene(const std::string& name, const Change& change) : folder(name) {
    change(scene);
    scene.film.duration_s = 0;
    film = simulate(scene, 7, path());
    CalibrationOptions limits;
    limits.limits = profile.calibration;
    const FilmCalibration calibration =
        calibrate_film(path(), profile.surface, limits);
    REQUIRE(calibration.result.done());
    bench = calibration.result.bench;
  }

  std::filesystem::path path() const { return folder / "film.mp4"; }
};

}  // namespace evenfeed
