// SPDX-License-Identifier: MIT
#include "cli/drawing_files.h"

#include "base/counted.h"
#include "base/file_set.h"
#include "film/svg_picture.h"
#include "pictures/png.h"

#include <filesystem>

namespace evenfeed {
namespace {

constexpr int kPngWidth_px = 1920;  // of a film's frame

}  // namespace

WrittenFile write_drawings(const std::string& folder,
                           const std::function<std::vector<Drawing>()>& draw) {
  if (folder.empty()) return {};
  const std::filesystem::path out(folder);
  std::vector<FileText> files;
  for (const Drawing& one : draw()) {
    const std::string svg = svg_file(one);
    const auto picture = picture_of_svg(svg, kPngWidth_px);
    if (picture) files.push_back({out / (one.name + ".png"), png_of(*picture)});
    files.push_back({out / (one.name + ".svg"), svg});
  }
  if (files.empty()) return {};
  const OutputFolder made(out);
  write_files_whole(files);
  return {out, counted(std::ssize(files), "file") + ": its maps and charts"};
}

}  // namespace evenfeed
