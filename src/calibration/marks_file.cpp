// SPDX-License-Identifier: MIT
#include "calibration/marks_file.h"

#include "base/atomic_file.h"
#include "base/csv.h"
#include "base/error.h"
#include "base/whole_number.h"

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

// The columns that say where the points are.
struct PlaceColumns {
  explicit PlaceColumns(const CsvTable& table)
      : name(table.require_column("name")),
        u(table.require_column("u_px")),
        v(table.require_column("v_px")),
        s(table.column("s_px")) {}
  std::size_t name, u, v;
  std::optional<std::size_t> s;
};

const Landmark& landmark_of(const CsvTable& table,
                            std::size_t row,
                            std::size_t column,
                            const std::vector<Landmark>& landmarks) {
  const std::string& name = table.text(row, column);
  const auto known = std::find_if(
      landmarks.begin(), landmarks.end(), [&](const Landmark& one) {
        return one.name == name;
      });
  if (known == landmarks.end()) {
    throw InputError(table.place(row, column),
                     "'" + name + "' is no landmark of this surface",
                     "Allowed: " + names_of(landmarks));
  }
  return *known;
}

MarkedPoint mark_of(const CsvTable& table,
                    std::size_t row,
                    const PlaceColumns& columns,
                    const std::vector<Landmark>& landmarks) {
  const Landmark& known = landmark_of(table, row, columns.name, landmarks);
  MarkedPoint mark;
  mark.name = known.name;
  mark.x_in_table_m = known.x_in_table_m;
  mark.picture_px = {table.require_number(row, columns.u),
                     table.require_number(row, columns.v)};
  if (mark.picture_px.cwiseAbs().maxCoeff() > kFarthest_px) {
    throw InputError(table.place(row, columns.u),
                     "far outside any picture",
                     "Give pixels from the picture's top left corner");
  }
  mark.sigma_px = kMarkSigma_px;
  if (!columns.s) return mark;
  mark.sigma_px = table.number(row, *columns.s).value_or(kMarkSigma_px);
  if (!(mark.sigma_px > 0)) {
    throw InputError(table.place(row, *columns.s),
                     "not greater than 0",
                     "Give how well the point is marked, in pixels");
  }
  return mark;
}

int pixels_of(const CsvTable& table, std::size_t row, std::size_t column) {
  const auto value = whole_number(table.require_number(row, column));
  if (!value || *value < 1) {
    throw InputError(table.place(row, column),
                     "'" + table.text(row, column) + "' is no picture's size",
                     "Give the whole number of pixels of the film's picture");
  }
  return *value;
}

std::optional<PictureSize> size_of(const CsvTable& table) {
  const auto width = table.column("width_px");
  const auto height = table.column("height_px");
  if (!width && !height) return std::nullopt;
  const std::size_t width_column = table.require_column("width_px");
  const std::size_t height_column = table.require_column("height_px");
  std::optional<PictureSize> size;
  for (std::size_t r = 0; r < table.rows(); ++r) {
    const PictureSize here{pixels_of(table, r, width_column),
                           pixels_of(table, r, height_column)};
    if (!size) size = here;
    if (here.width_px != size->width_px || here.height_px != size->height_px) {
      throw InputError(
          table.place(r, width_column),
          fmt::format("a picture of {} x {} px, above it is of {} x {} px",
                      here.width_px,
                      here.height_px,
                      size->width_px,
                      size->height_px),
          "Keep the points of one film only");
    }
  }
  return size;
}

}  // namespace

MarksFile parse_marks(const std::string& text,
                      const std::string& name,
                      const Surface& surface) {
  const CsvTable table = CsvTable::parse(text, name);
  const PlaceColumns columns(table);
  const std::vector<Landmark> landmarks = surface.landmarks();
  MarksFile file;
  for (std::size_t r = 0; r < table.rows(); ++r) {
    const MarkedPoint mark = mark_of(table, r, columns, landmarks);
    for (const MarkedPoint& earlier : file.marks) {
      if (earlier.name == mark.name) {
        throw InputError(table.place(r, columns.name),
                         "'" + mark.name + "' stands twice",
                         "Keep one of the two lines");
      }
    }
    file.marks.push_back(mark);
  }
  if (file.marks.empty()) {
    throw InputError(name,
                     "no point stands in it",
                     "Mark at least 4 (evenfeed calibrate FILM --mark)");
  }
  file.size = size_of(table);
  return file;
}

MarksFile load_marks(const std::filesystem::path& file,
                     const Surface& surface) {
  return parse_marks(read_file(file), file.string(), surface);
}

void check_marks_size(const PictureSize& marked, int width_px, int height_px) {
  if (marked.width_px == width_px && marked.height_px == height_px) return;
  throw InputError(
      "--points",
      fmt::format("the points were marked on pictures of {} x {} px, the film "
                  "has {} x {} px",
                  marked.width_px,
                  marked.height_px,
                  width_px,
                  height_px),
      "Mark them on this film (evenfeed calibrate FILM --mark)");
}

}  // namespace evenfeed
