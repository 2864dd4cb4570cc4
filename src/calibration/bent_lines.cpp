// SPDX-License-Identifier: MIT
#include "calibration/bent_lines.h"

#include "base/check.h"
#include "calibration/camera_solver.h"
#include "calibration/line_edges.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace evenfeed {
namespace {

constexpr double kNearEnd_m = 0.06;  // crossing lines disturb a cut

// Where one section of a line lies; 0 when it is in its place or not seen.
struct Section {
  double off_m = 0, off_px = 0;
  double x_m = 0;
};

class BentLines {
 public:
  BentLines(const cv::Mat& luma,
            const RefinedCamera& fit,
            const BentLineOptions& options)
      : luma_(luma), camera_(fit.solution.camera), options_(options) {
    std::vector<double> contrasts;
    for (const LineCut& cut : fit.cuts) contrasts.push_back(cut.contrast);
    search_.least_contrast =
        std::max(search_.least_contrast,
                 contrasts.empty() ? 0 : options.faint * median(contrasts));
  }

  std::optional<BentLine> of(const SurfaceLine& line) const {
    std::vector<Section> sections;
    for (int s = 0; s < options_.sections; ++s) {
      sections.push_back(section(line, s));
    }
    BentLine bent;
    bent.name = line.name;
    int in_a_row = 0;
    for (std::size_t i = 0; i < sections.size(); ++i) {
      const Section& now = sections[i];
      const bool off = std::abs(now.off_m) >= options_.least_off_m &&
                       std::abs(now.off_px) >= options_.least_off_px;
      const bool on =
          in_a_row > 0 && (now.off_m > 0) == (sections[i - 1].off_m > 0);
      in_a_row = !off ? 0 : on ? in_a_row + 1 : 1;
      if (in_a_row < options_.least_sections) continue;
      for (std::size_t j = i + 1 - in_a_row; j <= i; ++j) {
        bent.off_m = std::max(bent.off_m, std::abs(sections[j].off_m));
        bent.receiving_half = bent.receiving_half || sections[j].x_m > 0;
      }
    }
    return bent.off_m > 0 ? std::optional(bent) : std::nullopt;
  }

 private:
  Section section(const SurfaceLine& line, int s) const {
    const double skip = kNearEnd_m / line.length_m();
    std::vector<double> off_m, off_px;
    int looked = 0;
    Section result;
    for (int c = 0; c < options_.cuts_per_section; ++c) {
      const double part =
          (s + (c + 0.5) / options_.cuts_per_section) / options_.sections;
      const double along = skip + part * (1 - 2 * skip);
      result.x_m = line.middle_m(along).x();
      const auto bar = predict_bar(camera_, line, along);
      if (!bar || !camera_.in_picture(bar->middle_px)) continue;
      LineCut here;
      here.along = along;
      here.normal = bar->normal;
      const double scale = px_per_m_at(camera_, line, here);
      if (scale <= 0) continue;
      ++looked;
      LineSearch search = search_;
      search.reach_px = std::max(4.0, options_.reach_m * scale);
      const auto cut = cut_line_at(luma_, camera_, line, along, search);
      if (!cut) continue;
      off_px.push_back(cut->offset_px);
      off_m.push_back(cut->offset_px / scale);
    }
    if (looked == 0 || 2 * off_m.size() < std::size_t(looked)) return result;
    result.off_m = median(off_m);
    result.off_px = median(off_px);
    return result;
  }

  const cv::Mat& luma_;
  const CameraModel& camera_;
  const BentLineOptions& options_;
  LineSearch search_;
};

}  // namespace

void BentLineOptions::check() const {
  require_in_range(sections, 1, 100, "sections");
  require_in_range(cuts_per_section, 1, 100, "cuts_per_section");
  require_in_range(least_sections, 1, sections, "least_sections");
  require_positive(reach_m, "reach_m");
  require_positive(least_off_m, "least_off_m");
  require_positive(least_off_px, "least_off_px");
  require_in_range(faint, 0.01, 1, "faint");
}

std::optional<BentLine> find_bent_line(const cv::Mat& luma,
                                       const RefinedCamera& fit,
                                       const BentLineOptions& options) {
  options.check();
  const BentLines bent(luma, fit, options);
  std::optional<BentLine> worst;
  for (const SurfaceLine& line : fit.lines) {
    if (line.net) continue;
    auto now = bent.of(line);
    if (now && (!worst || now->off_m > worst->off_m)) worst = std::move(now);
  }
  return worst;
}

}  // namespace evenfeed
