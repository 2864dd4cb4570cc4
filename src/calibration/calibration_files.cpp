// SPDX-License-Identifier: MIT
#include "calibration/calibration_files.h"

#include "base/atomic_file.h"
#include "base/check.h"
#include "base/csv.h"
#include "base/units.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr double kMarkSigma_px = 1.0;
constexpr double kFarthest_px = 1e5;

std::string names_of(const std::vector<Landmark>& landmarks) {
  std::string list;
  for (const Landmark& landmark : landmarks) {
    list += (list.empty() ? "" : ", ") + landmark.name;
  }
  return list;
}

}  // namespace

std::vector<MarkedPoint> parse_marks(const std::string& text,
                                     const std::string& name,
                                     const Surface& surface) {
  const CsvTable table = CsvTable::parse(text, name);
  const auto name_column = table.require_column("name");
  const auto u_column = table.require_column("u_px");
  const auto v_column = table.require_column("v_px");
  const auto s_column = table.column("s_px");
  const std::vector<Landmark> landmarks = surface.landmarks();
  std::vector<MarkedPoint> marks;
  for (std::size_t r = 0; r < table.rows(); ++r) {
    MarkedPoint mark;
    mark.name = table.text(r, name_column);
    const auto known = std::find_if(
        landmarks.begin(), landmarks.end(), [&](const Landmark& landmark) {
          return landmark.name == mark.name;
        });
    const std::string place = table.place(r, name_column);
    if (known == landmarks.end()) {
      throw InputError(place,
                       "'" + mark.name + "' is no landmark of this surface",
                       "Allowed: " + names_of(landmarks));
    }
    for (const MarkedPoint& earlier : marks) {
      if (earlier.name == mark.name) {
        throw InputError(place,
                         "'" + mark.name + "' stands twice",
                         "Keep one of the two lines");
      }
    }
    mark.x_in_table_m = known->x_in_table_m;
    mark.picture_px = {table.require_number(r, u_column),
                       table.require_number(r, v_column)};
    if (mark.picture_px.cwiseAbs().maxCoeff() > kFarthest_px) {
      throw InputError(table.place(r, u_column),
                       "far outside any picture",
                       "Give pixels from the picture's top left corner");
    }
    mark.sigma_px = kMarkSigma_px;
    if (s_column) {
      mark.sigma_px = table.number(r, *s_column).value_or(kMarkSigma_px);
      if (!(mark.sigma_px > 0)) {
        throw InputError(table.place(r, *s_column),
                         "not greater than 0",
                         "Give how well the point is marked, in pixels");
      }
    }
    marks.push_back(mark);
  }
  return marks;
}

std::vector<MarkedPoint> load_marks(const std::filesystem::path& file,
                                    const Surface& surface) {
  return parse_marks(read_file(file), file.string(), surface);
}

CalibrationProfile load_calibration_profile(const std::filesystem::path& file) {
  const TomlTable root = TomlTable::read(file);
  const TomlTable surface = root.table("surface");
  const TomlTable calibration = root.table_or_empty("calibration");
  CalibrationProfile profile;
  profile.surface = load_surface(surface);
  profile.limits = load_calibration_limits(calibration);
  surface.refuse_unknown();
  calibration.refuse_unknown();
  return profile;
}

LensFile parse_lens(const std::string& text, const std::string& name) {
  const TomlTable root = TomlTable::parse(text, name);
  LensFile file;
  KnownLens& known = file.lens;
  known.width_px = root.integer("width_px");
  known.height_px = root.integer("height_px");
  known.lens.focal_px = root.number("focal_px");
  known.lens.k1 = root.number("k1");
  known.lens.k2 = root.number("k2");
  known.lens.centre_u_px = (known.width_px - 1) / 2.0;
  known.lens.centre_v_px = (known.height_px - 1) / 2.0;
  if (root.has("centre_px")) {
    const auto centre = root.numbers("centre_px", 2);
    known.lens.centre_u_px = centre[0];
    known.lens.centre_v_px = centre[1];
  }
  if (root.has("focal_sd_px")) {
    known.focal_sd = root.number("focal_sd_px") / known.lens.focal_px;
  }
  known.k1_sd = root.number("k1_sd", known.k1_sd);
  known.k2_sd = root.number("k2_sd", known.k2_sd);
  if (root.has("exposure_ms")) {
    file.exposure_s = s_from_ms(root.number("exposure_ms"));
  }
  if (root.has("readout_ms")) {
    file.readout_s = s_from_ms(root.number("readout_ms"));
  }
  root.refuse_unknown();
  try {
    CameraModel camera;
    camera.width_px = known.width_px;
    camera.height_px = known.height_px;
    camera.lens = known.lens;
    camera.exposure_s = file.exposure_s;
    camera.readout_s = file.readout_s;
    camera.check();
    require_positive(known.focal_sd, "focal_sd_px");
    require_positive(known.k1_sd, "k1_sd");
    require_positive(known.k2_sd, "k2_sd");
  } catch (const UsageError& error) {
    throw InputError(name, error.what(), "Change the value in this file");
  }
  return file;
}

LensFile load_lens(const std::filesystem::path& file) {
  return parse_lens(read_file(file), file.string());
}

KnownLens lens_for_size(const KnownLens& lens, int width_px, int height_px) {
  const double scale = double(width_px) / lens.width_px;
  if (std::abs(scale * lens.height_px / height_px - 1) > 0.01) {
    throw InputError(
        "--lens",
        fmt::format("the lens was measured on {} x {} pictures, the film has "
                    "{} x {}",
                    lens.width_px,
                    lens.height_px,
                    width_px,
                    height_px),
        "Use a lens file for pictures of the film's shape");
  }
  KnownLens result = lens;
  result.width_px = width_px;
  result.height_px = height_px;
  result.lens.focal_px *= scale;
  result.lens.centre_u_px = (lens.lens.centre_u_px + 0.5) * scale - 0.5;
  result.lens.centre_v_px = (lens.lens.centre_v_px + 0.5) * scale - 0.5;
  return result;
}

}  // namespace evenfeed
