// SPDX-License-Identifier: MIT
#include "cli/cmd_plan_camera.h"

#include "base/atomic_file.h"
#include "base/check.h"
#include "base/csv.h"
#include "base/error.h"
#include "base/file_set.h"
#include "base/units.h"
#include "cli/job_files.h"
#include "cli/plan_json.h"
#include "cli/print_words.h"
#include "cli/profile_lookup.h"
#include "cli/written_files.h"
#include "geometry/bench.h"
#include "pipeline/profile.h"
#include "report/camera_page.h"

#include <cmath>
#include <filesystem>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// What a drag known to a tenth and a lift of either sign leave unknown at 5
// m/s, along, across, up.
const Eigen::Vector3d kUnknownAir_mps2(0.35, 0.1, 0.3);

std::string shown(double value, int decimals) {
  return std::isfinite(value) ? csv_number(value, decimals) : "-";
}

std::string bound_row(const BouncePlace& place) {
  const CameraBound& bound = place.bound;
  return fmt::format(
      "{:>6.0f}{:>6.0f}{:>8}{:>8}{:>8}{:>8}{:>9}{:>8}{:>8}  {}\n",
      mm_from_m(place.bounce_m.x()),
      mm_from_m(place.bounce_m.y()),
      shown(mm_from_m(bound.x_m), 2),
      shown(mm_from_m(place.heard.x_m), 2),
      shown(mm_from_m(bound.y_m), 2),
      shown(ms_from_s(bound.t_s), 3),
      shown(mm_from_m(bound.speed_mps), 1),
      shown(deg_from_rad(bound.descent_rad), 2),
      shown(bound.kick, 4),
      view_word(bound.view));
}

std::string survey_words(const CameraSurvey& survey) {
  const CameraBound& middle = survey.middle;
  std::string text = fmt::format(
      "Bounce in the middle of the landing zone: {:.0f} sightings before it "
      "and "
      "{:.0f} after, {:.0f} mm apart; blur {:.1f} px; 1 px is {:.2f} mm.\n\n"
      "Attainable standard deviations by place of the bounce (heard: "
      "s_x with the\nfilm's sound)\n"
      "{:>6}{:>6}{:>8}{:>8}{:>8}{:>8}{:>9}{:>8}{:>8}\n",
      middle.sightings_before,
      middle.sightings_after,
      mm_from_m(middle.spacing_m),
      middle.streak_px,
      1e3 / middle.px_per_m,
      "x mm",
      "y mm",
      "s_x mm",
      "heard",
      "s_y mm",
      "s_t ms",
      "s_v mm/s",
      "s_d deg",
      "s_kick");
  for (const BouncePlace& place : survey.bounces) {
    text += bound_row(place);
  }
  if (!survey.advice.empty()) text += "\nAdvice\n";
  for (const std::string& line : survey.advice) text += "  - " + line + "\n";
  text +=
      "\nBefore anybody climbs: a camera overhead needs a locked fixing and a "
      "second, independent one; nobody works underneath, and the launcher "
      "stays "
      "unplugged until everybody is out of its line.\n";
  return text;
}

std::string survey_csv(const CameraSurvey& survey) {
  CsvWriter out({"eye_x_mm",
                 "eye_y_mm",
                 "eye_z_mm",
                 "s_x_mm",
                 "s_y_mm",
                 "s_t_ms",
                 "s_speed_mmps",
                 "s_descent_deg",
                 "s_kick",
                 "view",
                 "heard_s_x_mm",
                 "heard_s_t_ms"});
  for (const CameraPlace& place : survey.elsewhere) {
    out.add_row({csv_number(mm_from_m(place.eye_m.x()), 0),
                 csv_number(mm_from_m(place.eye_m.y()), 0),
                 csv_number(mm_from_m(place.eye_m.z()), 0),
                 csv_number(mm_from_m(place.bound.x_m), 3),
                 csv_number(mm_from_m(place.bound.y_m), 3),
                 csv_number(ms_from_s(place.bound.t_s), 4),
                 csv_number(mm_from_m(place.bound.speed_mps), 2),
                 csv_number(deg_from_rad(place.bound.descent_rad), 3),
                 csv_number(place.bound.kick, 5),
                 std::string(view_word(place.bound.view)),
                 csv_number(mm_from_m(place.heard.x_m), 3),
                 csv_number(ms_from_s(place.heard.t_s), 4)});
  }
  return out.text();
}

Eigen::Vector3d metres(const std::vector<double>& mm) {
  return {m_from_mm(mm[0]), m_from_mm(mm[1]), m_from_mm(mm[2])};
}

}  // namespace

void PlanCameraCommand::setup(Arguments& args) {
  args.add_option("--profile", profile_, "Profile NAME or FILE: surface, ball")
      .takes("PROFILE")
      .show_default();
  args.add_option("--bench",
                  bench_,
                  "A calibrated bench.toml in place of --eye-mm, --target-mm, "
                  "--size-px and --focal-px")
      .takes("FILE");
  args.add_option(
      "--height", height_mm_, "Height of the lens above the table, mm");
  args.add_option("--distance",
                  distance_mm_,
                  "How far the camera stands beside the table's edge, mm; "
                  "negative: over it");
  args.add_option("--along",
                  along_mm_,
                  "Where it stands along the table, mm from the net towards "
                  "the sample")
      .show_default();
  args.add_option("--lens",
                  lens_,
                  "Which of a telephone's cameras: 0.5x (wide), 1x (the main "
                  "one), 2x, 3x; in place of --focal-px")
      .one_of({"0.5x", "1x", "2x", "3x"});
  args.add_option("--eye-mm",
                  eye_mm_,
                  "Where the camera is, x,y,z in the table's frame; in place "
                  "of --height and --distance")
      .comma_separated()
      .count(3);
  args.add_option("--target-mm",
                  target_mm_,
                  "What it looks at, x,y,z; default: the landing zone's middle")
      .comma_separated()
      .count(3);
  args.add_option("--size-px", size_px_, "Width and height of the picture")
      .comma_separated()
      .count(2)
      .show_default();
  args.add_option("--focal-px",
                  focal_px_,
                  "Focal length; width / (2 tan(half the angle of view)); "
                  "default: that of --lens 1x");
  args.add_option("--fps", fps_, "Frames per second").show_default();
  args.add_option("--exposure-ms", exposure_ms_, "Time the shutter is open")
      .show_default();
  args.add_option(
          "--readout-ms", readout_ms_, "Rolling shutter, first row to last")
      .show_default();
  args.add_option("--noise-px", noise_px_, "Sd of a sighting, per axis")
      .show_default();
  args.add_option("--speed-mps", speed_mps_, "Of the feed at the bounce")
      .show_default();
  args.add_option("--descent-deg", descent_deg_, "Of the feed at the bounce")
      .show_default();
  args.add_option("--heading-deg", heading_deg_, "From +x, left positive")
      .show_default();
  args.add_option("--topspin-revps", topspin_revps_, "Negative: backspin")
      .show_default();
  args.add_option("--before-mm", before_mm_, "Flight in view before the bounce")
      .show_default();
  args.add_option("--after-mm", after_mm_, "Flight in view after it")
      .show_default();
  args.add_flag("--known-air",
                known_air_,
                "Take drag and lift as known, the bounce as free: what the "
                "geometry alone allows");
  args.add_option(
          "--out",
          out_,
          "Folder for camera.html and places.csv (the camera elsewhere)")
      .takes("FOLDER");
  args.add_json(json_, "what the camera can see");
  args.add_quiet(quiet_);
}

void PlanCameraCommand::require_numbers() const {
  for (const double one : eye_mm_) require_finite(one, "--eye-mm");
  for (const double one : target_mm_) require_finite(one, "--target-mm");
  if (focal_px_) require_finite(*focal_px_, "--focal-px");
  if (height_mm_) require_finite(*height_mm_, "--height");
  if (distance_mm_) require_finite(*distance_mm_, "--distance");
  require_finite(along_mm_, "--along");
  require_finite(fps_, "--fps");
  require_finite(exposure_ms_, "--exposure-ms");
  require_finite(readout_ms_, "--readout-ms");
  require_finite(noise_px_, "--noise-px");
  require_finite(speed_mps_, "--speed-mps");
  require_finite(descent_deg_, "--descent-deg");
  require_finite(heading_deg_, "--heading-deg");
  require_finite(topspin_revps_, "--topspin-revps");
  require_finite(before_mm_, "--before-mm");
  require_finite(after_mm_, "--after-mm");
}

std::vector<double> PlanCameraCommand::place(double half_width_mm) const {
  if (!eye_mm_.empty()) return eye_mm_;
  return {along_mm_, -(half_width_mm + *distance_mm_), *height_mm_};
}

double PlanCameraCommand::focal() const {
  if (focal_px_) return *focal_px_;
  // Telephones name their cameras by the focal length beside the main one's;
  // that has that of a 26 mm lens before a picture 36 mm wide (from memory of
  // data sheets of the last years: 23 to 28 mm), in films a little more.
  constexpr double kMain_mm = 26, kPicture_mm = 36;
  const double times = lens_.empty() ? 1 : std::stod(lens_);
  return size_px_[0] * kMain_mm * times / kPicture_mm;
}

void PlanCameraCommand::check_use() const {
  require_numbers();
  const bool by_height = height_mm_ || distance_mm_;
  if (by_height && !(height_mm_ && distance_mm_)) {
    throw UsageError("--height and --distance belong together");
  }
  if (int{!bench_.empty()} + int{!eye_mm_.empty()} + int{by_height} != 1) {
    throw UsageError(
        "give the camera's place by one of --height with --distance, --eye-mm "
        "and --bench");
  }
  if (focal_px_ && !lens_.empty()) {
    throw UsageError("--lens and --focal-px say the same: give one of them");
  }
}

CameraModel PlanCameraCommand::camera_to(const Eigen::Vector3d& target_m,
                                         const Surface& surface) const {
  if (!bench_.empty()) return load_bench(bench_).camera;
  CameraModel camera;
  camera.width_px = size_px_[0];
  camera.height_px = size_px_[1];
  camera.lens.focal_px = focal();
  camera.lens.centre_u_px = (camera.width_px - 1.0) / 2;
  camera.lens.centre_v_px = (camera.height_px - 1.0) / 2;
  const Eigen::Vector3d eye_m = metres(place(mm_from_m(surface.width_m / 2)));
  if (eye_m.z() < 0.1) {
    throw UsageError(
        "--eye-mm, --height: the camera must be above the surface, by "
        "100 mm at least");
  }
  const bool along = std::abs((target_m - eye_m).normalized().y()) > 0.999;
  camera.camera_from_table =
      look_at(eye_m,
              target_m,
              along ? Eigen::Vector3d::UnitX() : Eigen::Vector3d::UnitY());
  return camera;
}

CameraSurveyOptions PlanCameraCommand::survey_options(
    const Profile& profile) const {
  CameraSurveyOptions options;
  options.zone = profile.landing_zone;
  const Eigen::Vector2d middle = (options.zone.low_m + options.zone.high_m) / 2;
  options.target_m = target_mm_.empty()
                         ? Eigen::Vector3d(middle.x(), middle.y(), 0)
                         : metres(target_mm_);
  options.camera = camera_to(options.target_m, profile.surface);
  options.camera.exposure_s = s_from_ms(exposure_ms_);
  options.camera.readout_s = s_from_ms(readout_ms_);
  options.feed.speed_mps = speed_mps_;
  options.feed.descent_rad = rad_from_deg(descent_deg_);
  options.feed.heading_rad = rad_from_deg(heading_deg_);
  options.feed.topspin_radps = radps_from_revps(topspin_revps_);
  options.feed.restitution = profile.flight.restitution.mean;
  options.feed.friction = profile.flight.friction;
  options.feed.ball_radius_m = profile.flight.ball.radius_m;
  options.plan.fps = fps_;
  options.plan.noise_px = noise_px_;
  options.plan.before_m = m_from_mm(before_mm_);
  options.plan.after_m = m_from_mm(after_mm_);
  if (!known_air_) {
    options.plan.acceleration_sd_mps2 = kUnknownAir_mps2;
    options.plan.restitution_sd = profile.flight.restitution.sd;
  }
  return options;
}

int PlanCameraCommand::run() {
  check_use();
  const NamedText profile_text = find_profile(profile_);
  JobFiles files;
  files.reads("--profile", profile_text.file);
  files.reads("--bench", bench_);
  files.writes_in("--out", out_, {"camera.html", "places.csv"});
  files.check();
  const Profile profile = load_profile(profile_text);
  const CameraSurveyOptions options = survey_options(profile);
  const CameraSurvey survey = survey_camera(options);
  std::vector<WrittenFile> written;
  if (!out_.empty()) {
    const std::filesystem::path out(out_);
    const OutputFolder folder(out);
    write_files_whole(
        {{out / "camera.html", camera_page(options, survey, profile.surface)},
         {out / "places.csv", survey_csv(survey)}});
    written = {{out / "camera.html", "the page: open it"},
               {out / "places.csv", "what it shows, as numbers"}};
  }
  if (json_) {
    fmt::print("{}", json_with_written(survey_json(survey), written));
  } else if (!quiet_) {
    print_words(words_with_written(survey_words(survey), written));
  }
  return kExitDone;
}

}  // namespace evenfeed
