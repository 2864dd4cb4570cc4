// SPDX-License-Identifier: MIT
#include "calibration/table_choice.h"

#include "calibration/calibration.h"
#include "calibration/fit_residual.h"
#include "calibration/lines_beyond.h"
#include "calibration/plausible_camera.h"
#include "calibration/table_interior.h"
#include "calibration/table_readings.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <opencv2/imgproc.hpp>

namespace evenfeed {
namespace {

constexpr double kBorneOut = 0.5;   // share of a line's cuts that found it
constexpr double kTapeSeen = 0.35;  // ... of the net's, which sags

// Ways to look at the picture, until one shows a table: as it is, enlarged for
// thin lines, straightened for wide lenses, for halves that are small or of
// which a side is not to be seen, and for sides that are short.
struct Look {
  double width_px;
  double most_enlarged;
  double k1;
  bool small_halves;
  bool short_sides;
};
constexpr Look kLooks[] = {{1280, 1, 0, false, false},
                           {2560, 2, 0, false, false},
                           {1280, 2, -0.15, false, false},
                           {1280, 2, -0.35, false, false},
                           {2560, 2, 0, true, false},
                           {2560, 2, 0, true, true}};

constexpr double kBarsWidth_px = 1280;
constexpr int kReadOtherwise = 3;  // of the best candidates
constexpr double kSame = 0.01;     // of the width: two cameras, one reading
// Right tables of photographs show 18 (a half, its other one hidden) to 51; the
// net's tape read as an end line, with the true one across the surface, 14.
constexpr double kLeast_nats = 15;

// Of the whole picture, found in one of ordinary size.
std::vector<BrightBar> bars_of(const cv::Mat& luma) {
  const double scale = std::min(1.0, kBarsWidth_px / luma.cols);
  cv::Mat work = luma;
  if (scale < 1) cv::resize(luma, work, {}, scale, scale, cv::INTER_AREA);
  std::vector<BrightBar> bars = find_bright_bars(work);
  for (BrightBar& bar : bars) {
    bar.from_px /= scale;
    bar.to_px /= scale;
    bar.width_px /= scale;
  }
  return bars;
}

// Nothing a further proposal could do better.
bool leaves_no_doubt(const TableCandidate& c) {
  return c.verdict.both_directions && c.verdict.confirmed >= 4 &&
         c.verdict.missing == 0 && c.verdict.against.empty() &&
         c.verdict.found_share > 0.93 && c.fit.solution.inliers > 0.93;
}

// Another reading of what `best` is a reading of, by a camera that can be.
bool rivals(const TableCandidate& best,
            const TableCandidate& c,
            const Surface& surface) {
  const CameraModel& camera = best.camera();
  return !c.verdict.cannot_be &&
         !shows_same_table(
             camera, c.camera(), surface, kSame * camera.width_px) &&
         overlap(camera, c.camera(), surface);
}

}  // namespace

ReadingVerdict weigh(const RefinedCamera& fit,
                     const std::vector<SurfaceLine>& lines) {
  ReadingVerdict verdict;
  bool along_x = false, along_y = false;
  int looked = 0;
  for (std::size_t i = 0; i < fit.support.size(); ++i) {
    const LineSupport& line = fit.support[i];
    const double enough = lines[i].net ? kTapeSeen : kBorneOut;
    if (line.looked >= 10 && line.share() < enough) ++verdict.missing;
    if (lines[i].net) continue;
    verdict.cuts += line.found;
    looked += line.looked;
    if (line.found < 5 || line.share() < kBorneOut) continue;
    ++verdict.confirmed;
    (lines[i].along_x ? along_x : along_y) = true;
  }
  verdict.both_directions = along_x && along_y;
  verdict.found_share = looked > 0 ? double(verdict.cuts) / looked : 0;
  return verdict;
}

bool better(const ReadingVerdict& a, const ReadingVerdict& b) {
  if (a.cannot_be != b.cannot_be) return b.cannot_be;
  if (a.could_stand() != b.could_stand()) return a.could_stand();
  if (a.shows_enough() != b.shows_enough()) return a.shows_enough();
  return a.nats() > b.nats();
}

bool TableCandidate::believable() const {
  return verdict.could_stand() && verdict.nats() >= kLeast_nats &&
         verdict.against.empty();
}

bool fits_otherwise(const std::vector<TableCandidate>& candidates,
                    const TableCandidate& best,
                    const Surface& surface,
                    double most_mm) {
  return std::any_of(
      candidates.begin(), candidates.end(), [&](const TableCandidate& c) {
        return c.believable() && rivals(best, c, surface) &&
               fit_residual(c.fit, c.fit.lines, {}, {}).mm <= most_mm;
      });
}

TableChoice::TableChoice(const cv::Mat& luma,
                         const Surface& surface,
                         const std::vector<SurfaceLine>& lines,
                         const std::optional<KnownLens>& lens,
                         const CameraSolverOptions& solver)
    : luma_(luma),
      surface_(surface),
      lines_(lines),
      lens_(lens),
      solver_(solver),
      bars_(bars_of(luma)) {}

double TableChoice::reach_px() const {
  return std::max(8.0, 0.012 * luma_.cols);
}

RefinedCamera TableChoice::refine(const CameraModel& start,
                                  double reach) const {
  return refine_camera(luma_, start, surface_, lines_, {}, solver_, reach);
}

bool TableChoice::looks_like_floor(const RefinedCamera& fit) const {
  std::vector<double> contrasts;
  for (const LineCut& cut : fit.cuts) contrasts.push_back(cut.contrast);
  if (contrasts.empty()) return true;
  return stray_lines_across(
             luma_, fit.solution.camera, surface_, median(contrasts)) >= 2;
}

// Of a table that shows everything else, what runs across is print, a gap
// between its halves or the track of a ball.
std::string TableChoice::against(const RefinedCamera& fit, double nats) const {
  if (nats < kShowsAll_nats && looks_like_floor(fit)) {
    return fmt::format("lines run across it where a table is bare. {}",
                       kMarkByHand);
  }
  const CameraModel& camera = fit.solution.camera;
  const std::string beyond =
      lines_beyond_border(luma_, camera, fit.lines, bars_);
  if (beyond.empty()) return beyond;
  return fmt::format("{}. {}", beyond, kMarkByHand);
}

std::optional<TableCandidate> TableChoice::weighed(const CameraModel& proposal,
                                                   double reach) const {
  TableCandidate tried;
  tried.fit = refine(proposal, reach);
  if (!tried.fit.solution.solved) return std::nullopt;
  tried.score = score_table(luma_, tried.fit, surface_, bars_);
  tried.verdict = weigh(tried.fit, tried.fit.lines);
  tried.verdict.score_nats = tried.score.total();
  tried.verdict.against = why_implausible(tried.fit.solution.camera,
                                          tried.fit.solution.marginal,
                                          tried.fit.solution.covariance,
                                          surface_,
                                          tried.score.total() >= kShowsAll_nats
                                              ? when_surely_read()
                                              : PlausibleCamera{});
  tried.verdict.cannot_be = !tried.verdict.against.empty();
  if (tried.verdict.against.empty()) {
    tried.verdict.against = against(tried.fit, tried.verdict.score_nats);
  }
  if (tried.verdict.against.empty() && !tried.score.goes_on.empty()) {
    tried.verdict.against = fmt::format(
        "what would be the line {} goes on straight beyond the table. {}",
        tried.score.goes_on,
        kMarkByHand);
  }
  return tried;
}

bool TableChoice::known(const CameraModel& camera) const {
  return std::any_of(
      candidates_.begin(), candidates_.end(), [&](const TableCandidate& c) {
        return shows_same_table(c.camera(), camera, surface_, reach_px() / 4);
      });
}

// Looking far catches a rough proposal, looking near keeps off the lines
// beside the table; true when nothing can be bettered.
bool TableChoice::consider(const CameraModel& proposal) {
  for (const double reach : {reach_px(), reach_px() / 2}) {
    auto tried = weighed(proposal, reach);
    if (!tried) continue;
    const bool certain = leaves_no_doubt(*tried);
    candidates_.push_back(std::move(*tried));
    if (certain) return true;
  }
  return false;
}

void TableChoice::look(const TableFinderOptions& how) {
  std::optional<LensModel<double>> lens;
  if (lens_) lens = lens_->lens;
  for (const FoundTable& found : find_table(luma_, surface_, lens, how)) {
    if (consider(found.camera)) return;
  }
}

// The lines of the best, read otherwise.
void TableChoice::read_otherwise() {
  std::vector<CameraModel> best;
  std::sort(candidates_.begin(),
            candidates_.end(),
            [](const TableCandidate& a, const TableCandidate& b) {
              return a.score.total() > b.score.total();
            });
  for (const TableCandidate& c : candidates_) {
    const bool twin = std::any_of(best.begin(), best.end(), [&](auto& b) {
      return shows_same_table(b, c.camera(), surface_, reach_px());
    });
    if (!twin) best.push_back(c.camera());
    if (static_cast<int>(best.size()) >= kReadOtherwise) break;
  }
  for (const CameraModel& camera : best) {
    for (const CameraModel& other : other_readings(camera, surface_)) {
      if (known(other)) continue;
      if (auto tried = weighed(other, reach_px())) {
        candidates_.push_back(std::move(*tried));
      }
    }
  }
}

const TableCandidate* TableChoice::best() const {
  const TableCandidate* best = nullptr;
  for (const TableCandidate& c : candidates_) {
    if (!best || better(c.verdict, best->verdict)) best = &c;
  }
  return best;
}

std::optional<double> TableChoice::runner_up(const TableCandidate& best) const {
  std::optional<double> nats;
  for (const TableCandidate& c : candidates_) {
    if (!rivals(best, c, surface_)) continue;
    nats = std::max(nats.value_or(-1e9), c.verdict.nats());
  }
  return nats;
}

// One reading stands, and no other explains the picture about as well.
bool TableChoice::settled() const {
  const TableCandidate* const best = this->best();
  if (!best || !best->believable()) return false;
  const std::optional<double> second = runner_up(*best);
  return !second || best->verdict.nats() - *second >= kLeastMargin_nats;
}

void TableChoice::search() {
  for (const Look& how : kLooks) {
    if (lens_ && how.k1 != 0) continue;
    TableFinderOptions finder;
    finder.work_width_px = how.width_px;
    finder.most_enlarged = how.most_enlarged;
    finder.k1 = how.k1;
    finder.small_halves = how.small_halves;
    finder.short_sides = how.short_sides;
    look(finder);
    read_otherwise();
    if (settled()) break;
  }
}

}  // namespace evenfeed
