// SPDX-License-Identifier: MIT
// How well balls are found in films whose truth is known.
//
//   detector_check [--list] [--raw] FOLDER...
//
// --list tells every find and miss; --raw draws the frames anew from scene.toml
// (seed 1) and leaves out the compression. Each folder holds session.mp4,
// truth_bench.toml and truth_sightings.csv as written by `evenfeed simulate`.
// One line per film: part of the visible sightings of feeds found, wrong finds
// per frame, error along and across the motion (mean, standard deviation, 95 %
// point of its size), the spread of error / sigma, and the processor
// time per frame.
#include "base/csv.h"
#include "base/error.h"
#include "base/toml_file.h"
#include "detection/ball_detector.h"
#include "film/video_source.h"
#include "geometry/bench.h"
#include "geometry/surface.h"
#include "simulate/frame_renderer.h"
#include "simulate/scene.h"
#include "simulate/scene_file.h"

#include <algorithm>
#include <cmath>
#include <ctime>
#include <functional>
#include <map>
#include <vector>

#include <fmt/format.h>

namespace evenfeed {
namespace {

struct Truth {
  Sighting sighting;
  Eigen::Vector2d motion = Eigen::Vector2d::Zero();  // to the next, px
  bool feed = false;
  double seen = 1;
  bool found = false;
};

std::map<int, std::vector<Truth>> read_truth(
    const std::filesystem::path& folder) {
  const CsvTable table = CsvTable::read(folder / "truth_sightings.csv");
  const auto column = [&](const char* name) {
    return table.require_column(name);
  };
  const std::optional<std::size_t> seen = table.column("seen");
  std::map<int, std::vector<Truth>> by_track;
  for (std::size_t row = 0; row < table.rows(); ++row) {
    Truth truth;
    truth.sighting.t_s = table.require_number(row, column("t_s"));
    truth.sighting.centre_px = {table.require_number(row, column("u_px")),
                                table.require_number(row, column("v_px"))};
    truth.sighting.diameter_px =
        table.require_number(row, column("diameter_px"));
    truth.sighting.frame =
        static_cast<int>(table.require_number(row, column("frame")));
    truth.sighting.track =
        static_cast<int>(table.require_number(row, column("track")));
    truth.feed = table.text(row, column("kind")) == "feed";
    if (seen) truth.seen = table.require_number(row, *seen);
    by_track[truth.sighting.track].push_back(truth);
  }
  std::map<int, std::vector<Truth>> by_frame;
  for (auto& [track, list] : by_track) {
    for (std::size_t i = 0; i < list.size(); ++i) {
      const std::size_t a = i + 1 < list.size() ? i : i - (i > 0 ? 1 : 0);
      const std::size_t b = std::min(a + 1, list.size() - 1);
      list[i].motion = list[b].sighting.centre_px - list[a].sighting.centre_px;
      by_frame[list[i].sighting.frame].push_back(list[i]);
    }
  }
  return by_frame;
}

struct Errors {
  std::vector<double> along, across, along_z, across_z, size;

  static double mean(const std::vector<double>& values) {
    double sum = 0;
    for (const double value : values) sum += value;
    return sum / static_cast<double>(values.size());
  }
  static double sd(const std::vector<double>& values) {
    const double middle = mean(values);
    double sum = 0;
    for (const double value : values) {
      sum += (value - middle) * (value - middle);
    }
    return std::sqrt(sum / static_cast<double>(values.size()));
  }
  static double point95(std::vector<double> values) {
    for (double& value : values) value = std::abs(value);
    std::sort(values.begin(), values.end());
    return values.empty() ? NAN : values[values.size() * 95 / 100];
  }
  // Half the width of the middle 68 %: the sd without the tails.
  static double core(std::vector<double> values) {
    const double middle = mean(values);
    for (double& value : values) value = std::abs(value - middle);
    std::sort(values.begin(), values.end());
    return values.empty() ? NAN : values[values.size() * 68 / 100];
  }
};

// Of this thread only: what others do meanwhile does not count.
double now_s() {
  timespec time{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &time);
  return static_cast<double>(time.tv_sec) + 1e-9 * time.tv_nsec;
}

using NextFrame = std::function<std::optional<Frame>()>;

NextFrame decoded(const std::filesystem::path& folder) {
  auto film = std::make_shared<VideoSource>(folder / "session.mp4");
  return [film] { return film->next(); };
}

Frame frame_of(const YuvPicture& picture) {
  Frame frame;
  frame.luma.create(picture.height_px, picture.width_px, CV_8UC1);
  frame.blue.create(picture.height_px / 2, picture.width_px / 2, CV_8UC1);
  frame.red.create(picture.height_px / 2, picture.width_px / 2, CV_8UC1);
  std::copy(picture.y.begin(), picture.y.end(), frame.luma.data);
  std::copy(picture.u.begin(), picture.u.end(), frame.blue.data);
  std::copy(picture.v.begin(), picture.v.end(), frame.red.data);
  return frame;
}

NextFrame drawn(const Scene& scene, std::uint64_t seed) {
  auto renderer = std::make_shared<FrameRenderer>(scene, seed);
  return [renderer, index = 0]() mutable -> std::optional<Frame> {
    const std::vector<double>& times_s = renderer->times_s();
    if (index >= static_cast<int>(times_s.size())) return std::nullopt;
    Frame frame = frame_of(renderer->render(index));
    frame.index = index;
    frame.t_s = times_s[static_cast<std::size_t>(index++)];
    return frame;
  };
}

void check_film(const std::filesystem::path& folder, bool list, bool raw) {
  const Bench bench = load_bench(folder / "truth_bench.toml");
  const TomlTable profile = TomlTable::read(
      std::filesystem::path(EVENFEED_ROOT) / "profiles/table-tennis.toml");
  const Surface surface = load_surface(profile.table("surface"));
  const Ball ball = load_ball(profile.table("ball"));
  std::map<int, std::vector<Truth>> truth = read_truth(folder);
  BallDetector detector({}, bench.camera, surface, ball);
  NextFrame next_frame;
  if (raw) {
    const Scene scene =
        load_scene(folder / "scene.toml", [](std::string_view name) {
          return TomlTable::read(std::filesystem::path(EVENFEED_ROOT) /
                                 "profiles" / (std::string(name) + ".toml"));
        });
    detector.learn({frame_of(FrameRenderer(scene, 1).render_empty())});
    next_frame = drawn(scene, 1);
  } else {
    detector.learn(opening_stills(folder / "session.mp4"));
    next_frame = decoded(folder);
  }

  Errors errors;
  long frames = 0, wrong = 0, strays = 0;
  double busy_s = 0;
  while (const std::optional<Frame> frame = next_frame()) {
    ++frames;
    const double start_s = now_s();
    const std::vector<Sighting> found = detector.detect(*frame);
    busy_s += now_s() - start_s;
    std::vector<Truth>& there = truth[frame->index];
    for (const Sighting& seen : found) {
      Truth* best = nullptr;
      double distance = seen.diameter_px + seen.streak_px.norm() / 2;
      for (Truth& ball_there : there) {
        const double d =
            (ball_there.sighting.centre_px - seen.centre_px).norm();
        if (d < distance && !ball_there.found) {
          distance = d;
          best = &ball_there;
        }
      }
      if (best == nullptr) {
        ++wrong;
        if (list) {
          fmt::print("wrong {} {:.1f} {:.1f} d {:.1f} streak {:.1f} c {:.0f}\n",
                     frame->index,
                     seen.centre_px.x(),
                     seen.centre_px.y(),
                     seen.diameter_px,
                     seen.streak_px.norm(),
                     seen.contrast);
        }
        continue;
      }
      best->found = true;
      if (!best->feed) {
        ++strays;
        continue;
      }
      if (seen.cut_off) continue;
      const Eigen::Vector2d dir = best->motion.normalized();
      const Eigen::Vector2d off = seen.centre_px - best->sighting.centre_px;
      const double along = off.dot(dir);
      const double across = dir.x() * off.y() - dir.y() * off.x();
      errors.along.push_back(along);
      errors.across.push_back(across);
      errors.along_z.push_back(along / seen.sigma_px);
      errors.across_z.push_back(across / seen.sigma_px);
      errors.size.push_back(seen.diameter_px - best->sighting.diameter_px);
      if (list) {
        fmt::print(
            "hit {} {:.1f} {:.1f} along {:+.3f} across {:+.3f} sigma {:.3f} d "
            "{:.2f} true {:.2f} streak {:.1f} c {:.0f} track {} dt {:.5f}\n",
            frame->index,
            seen.centre_px.x(),
            seen.centre_px.y(),
            along,
            across,
            seen.sigma_px,
            seen.diameter_px,
            best->sighting.diameter_px,
            seen.streak_px.norm(),
            seen.contrast,
            best->sighting.track,
            seen.t_s - best->sighting.t_s);
      }
    }
  }
  long visible = 0, hit = 0;
  for (const auto& [frame, list_there] : truth) {
    for (const Truth& there : list_there) {
      const Eigen::Vector2d& at = there.sighting.centre_px;
      const bool counts =
          there.feed && there.seen > 0.75 && frame < frames &&
          bench.camera.in_picture(at, there.sighting.diameter_px) &&
          detector.region().contains(at.x(), at.y());
      if (!counts) continue;
      ++visible;
      hit += there.found;
      if (list && !there.found) {
        fmt::print("missed {} {:.1f} {:.1f} d {:.1f} track {} seen {:.2f}\n",
                   frame,
                   at.x(),
                   at.y(),
                   there.sighting.diameter_px,
                   there.sighting.track,
                   there.seen);
      }
    }
  }
  const DetectorCounts& counts = detector.counts();
  fmt::print(
      "{:<16} {:5} {:5.1f} % {:7.4f} | {:+.3f} {:.3f} {:.3f} {:.3f} | {:+.3f} "
      "{:.3f} {:.3f} {:.3f} | {:.2f} {:.2f} | {:+.2f} | {:.2f} ms\n",
      folder.filename().string(),
      visible,
      visible > 0 ? 100.0 * hit / visible : 0.0,
      static_cast<double>(wrong) / frames,
      Errors::mean(errors.along),
      Errors::sd(errors.along),
      Errors::core(errors.along),
      Errors::point95(errors.along),
      Errors::mean(errors.across),
      Errors::sd(errors.across),
      Errors::core(errors.across),
      Errors::point95(errors.across),
      Errors::core(errors.along_z),
      Errors::core(errors.across_z),
      Errors::mean(errors.size),
      1e3 * busy_s / frames);
  if (list) {
    fmt::print(
        "  areas {} candidates {} sightings {} strays {} large {} small {} "
        "no fit {} size {} faint {} misfit {} crowded {} colour only {}\n",
        counts.areas,
        counts.candidates,
        counts.sightings,
        strays,
        counts.too_large,
        counts.too_small,
        counts.no_fit,
        counts.wrong_size,
        counts.faint,
        counts.misfit,
        counts.crowded,
        counts.colour_only);
  }
}

}  // namespace
}  // namespace evenfeed

int main(int argc, char** argv) {
  bool list = false, raw = false;
  std::vector<std::filesystem::path> folders;
  for (int i = 1; i < argc; ++i) {
    const std::string_view word = argv[i];
    if (word == "--list") {
      list = true;
    } else if (word == "--raw") {
      raw = true;
    } else {
      folders.emplace_back(word);
    }
  }
  if (folders.empty()) {
    fmt::print(stderr, "detector_check [--list] [--raw] FOLDER...\n");
    return 2;
  }
  fmt::print(
      "film             feeds  found   wrong/f | along: mean sd core 95% | "
      "across: mean sd core 95% | z along across | size | per frame\n");
  try {
    for (const auto& folder : folders) {
      evenfeed::check_film(folder, list, raw);
    }
  } catch (const std::exception& error) {
    fmt::print(stderr, "{}\n", error.what());
    return 1;
  }
  return 0;
}
