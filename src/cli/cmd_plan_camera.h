// SPDX-License-Identifier: MIT
// evenfeed plan camera: what a camera can see of a bounce, before it is put up.
#pragma once

#include "cli/command.h"
#include "cli/usual_profile.h"
#include "plan/camera_survey.h"

#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

struct Profile;
struct Surface;

class PlanCameraCommand : public Command {
 public:
  std::string_view name() const override { return "camera"; }
  std::string_view summary() const override {
    return "What a camera can see of the bounce at best, and from where";
  }
  std::string_view example() const override {
    return "evenfeed plan camera --height 2400 --distance 900 --lens 1x "
           "--out camera";
  }
  void setup(Arguments& args) override;
  int run() override;

 private:
  void require_numbers() const;
  void check_use() const;
  /// Where the camera is, mm; by --eye-mm, or by --height and the rest.
  std::vector<double> place(double half_width_mm) const;
  double focal() const;
  CameraModel camera_to(const Eigen::Vector3d& target_m,
                        const Surface& surface) const;
  CameraSurveyOptions survey_options(const Profile& profile) const;

  std::string profile_ = kUsualProfile;
  std::string bench_;
  std::vector<double> eye_mm_;
  std::optional<double> height_mm_, distance_mm_;
  double along_mm_ = 685;
  std::string lens_;
  std::vector<double> target_mm_;
  std::vector<int> size_px_{1920, 1080};
  std::optional<double> focal_px_;
  double fps_ = 60;
  double exposure_ms_ = 2;
  double readout_ms_ = 0;
  double noise_px_ = 0.3;
  double speed_mps_ = 5;
  double descent_deg_ = 20;
  double heading_deg_ = 0;
  double topspin_revps_ = 0;
  double before_mm_ = 1000;
  double after_mm_ = 1000;
  bool known_air_ = false;
  std::string out_;
  bool json_ = false;
  bool quiet_ = false;
};

}  // namespace evenfeed
