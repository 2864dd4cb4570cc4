// SPDX-License-Identifier: MIT
#include "calibration/camera_solver.h"

#include "base/check.h"
#include "calibration/camera_residuals.h"
#include "calibration/centre_folding.h"
#include "stats/descriptive.h"
#include "stats/singular_values.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include <ceres/ceres.h>

namespace evenfeed {
namespace {

// The camera during a solve: the start turned by `turn`, other values whole.
struct State {
  double lens[kLensValues];
  double turn[3];         // angle-axis in the camera frame
  double translation[3];  // m
};

State state_of(const CameraModel& camera) {
  const Eigen::Vector3d& t = camera.camera_from_table.translation_m;
  return {{camera.lens.focal_px,
           camera.lens.k1,
           camera.lens.k2,
           camera.lens.centre_u_px,
           camera.lens.centre_v_px},
          {0, 0, 0},
          {t.x(), t.y(), t.z()}};
}

CameraModel camera_of(const State& state, const CameraModel& start) {
  CameraModel camera = start;
  camera.lens.focal_px = state.lens[kFocal];
  camera.lens.k1 = state.lens[kK1];
  camera.lens.k2 = state.lens[kK2];
  camera.lens.centre_u_px = state.lens[kCentreU];
  camera.lens.centre_v_px = state.lens[kCentreV];
  const Eigen::Vector3d turn(state.turn[0], state.turn[1], state.turn[2]);
  camera.camera_from_table.rotation =
      (turned_by(turn) * camera.camera_from_table.rotation).normalized();
  camera.camera_from_table.translation_m = {
      state.translation[0], state.translation[1], state.translation[2]};
  return camera;
}

Eigen::Vector2d half_size(const std::vector<SurfaceLine>& lines) {
  Eigen::Vector2d half{1, 1};
  for (const SurfaceLine& line : lines) {
    half = half.cwiseMax(line.high_to_m.head<2>().cwiseAbs());
  }
  return half;
}

// The problem around one start; owns the line offsets.
class Problem {
 public:
  Problem(const CameraModel& start,
          const std::vector<SurfaceLine>& lines,
          const std::vector<LineCut>& cuts,
          const std::vector<MarkedPoint>& points,
          const Eigen::Vector2d& centre_px,
          const CameraSolverOptions& options)
      : start_(start),
        rotation_(start.camera_from_table.rotation.toRotationMatrix()),
        state_(state_of(start)),
        offsets_(lines.size(), 0.0),
        used_(lines.size(), false) {
    add_cuts(lines, cuts, options);
    for (const MarkedPoint& point : points) {
      problem_.AddResidualBlock(new PointCost(rotation_, point),
                                new ceres::CauchyLoss(3.0),
                                state_.lens,
                                state_.turn,
                                state_.translation);
    }
    problem_.AddResidualBlock(new LensPrior(options, start.width_px, centre_px),
                              nullptr,
                              state_.lens);
    if (options.height_m) {
      problem_.AddResidualBlock(new HeightPrior(rotation_, *options.height_m),
                                nullptr,
                                state_.turn,
                                state_.translation);
    }
    problem_.SetParameterLowerBound(state_.lens, kFocal, 0.1 * start.width_px);
    problem_.SetParameterUpperBound(state_.lens, kFocal, 20.0 * start.width_px);
  }
  Problem(const Problem&) = delete;
  Problem& operator=(const Problem&) = delete;

  bool solve(int max_iterations, std::string& message) {
    ceres::Solver::Options options;
    options.max_num_iterations = max_iterations;
    options.function_tolerance = 1e-12;
    options.parameter_tolerance = 1e-12;
    options.gradient_tolerance = 1e-14;
    options.linear_solver_type = ceres::DENSE_QR;
    options.logging_type = ceres::SILENT;
    ceres::Solver::Summary summary;
    ceres::Solve(options, &problem_, &summary);
    message = summary.message;
    return summary.IsSolutionUsable();
  }

  // Order: focal, k1, k2, turn, translation, centre. The line offsets are
  // unknowns too and are left out of the result, not held. Columns are scaled
  // before the inversion: focal lengths and turns differ by a factor 1e5, and
  // what a weak view leaves open must not be cut off as rounding error.
  bool covariance(FullCameraCovariance& result) {
    ceres::Problem::EvaluateOptions options;
    options.parameter_blocks = {state_.lens, state_.turn, state_.translation};
    for (std::size_t i = 0; i < offsets_.size(); ++i) {
      if (!used_[i]) continue;
      options.parameter_blocks.push_back(
          static_cast<int>(i) == net_ ? net_shift_m_ : &offsets_[i]);
    }
    ceres::CRSMatrix sparse;
    if (!problem_.Evaluate(options, nullptr, nullptr, nullptr, &sparse)) {
      return false;
    }
    Eigen::MatrixXd jacobian =
        Eigen::MatrixXd::Zero(sparse.num_rows, sparse.num_cols);
    for (int row = 0; row < sparse.num_rows; ++row) {
      for (int k = sparse.rows[row]; k < sparse.rows[row + 1]; ++k) {
        jacobian(row, sparse.cols[k]) = sparse.values[k];
      }
    }
    const Eigen::VectorXd scale = jacobian.colwise().norm();
    if (!(scale.minCoeff() > 0)) return false;
    jacobian *= scale.cwiseInverse().asDiagonal();
    const auto [values, right] = singular_values(upper_triangle(jacobian));
    if (!(values.minCoeff() > 0)) return false;
    const Eigen::MatrixXd half = scale.cwiseInverse().asDiagonal() * right *
                                 values.cwiseInverse().asDiagonal();
    const Eigen::MatrixXd cells = half * half.transpose();
    constexpr int turn = kLensValues;
    constexpr int move = turn + 3;
    const std::array order{kFocal + 0,
                           kK1 + 0,
                           kK2 + 0,
                           turn,
                           turn + 1,
                           turn + 2,
                           move,
                           move + 1,
                           move + 2,
                           kCentreU + 0,
                           kCentreV + 0};
    static_assert(order.size() == FullCameraCovariance::RowsAtCompileTime);
    for (int i = 0; i < result.rows(); ++i) {
      for (int j = 0; j < result.cols(); ++j) {
        result(i, j) = cells(order[static_cast<std::size_t>(i)],
                             order[static_cast<std::size_t>(j)]);
      }
    }
    return result.allFinite();
  }

  CameraModel camera() const { return camera_of(state_, start_); }
  double offset(int line) const { return offsets_[line]; }
  Eigen::Vector3d net_shift_m() const {
    return {net_shift_m_[0], 0, net_shift_m_[1]};
  }

 private:
  void add_cuts(const std::vector<SurfaceLine>& lines,
                const std::vector<LineCut>& cuts,
                const CameraSolverOptions& options) {
    for (const LineCut& cut : cuts) {
      const SurfaceLine& line = lines[cut.line];
      used_[cut.line] = true;
      auto* loss =
          new ceres::CauchyLoss(options.robust_px / options.cut_sigma_px);
      if (line.net) {
        net_ = cut.line;
        problem_.AddResidualBlock(
            new NetCutCost(rotation_, line, cut, options.cut_sigma_px),
            loss,
            state_.lens,
            state_.turn,
            state_.translation,
            net_shift_m_);
        continue;
      }
      problem_.AddResidualBlock(
          new CutCost(rotation_, line, cut, options.cut_sigma_px),
          loss,
          state_.lens,
          state_.turn,
          state_.translation,
          &offsets_[cut.line]);
    }
    for (std::size_t i = 0; i < lines.size(); ++i) {
      if (!used_[i]) continue;
      if (lines[i].net) {
        problem_.AddResidualBlock(
            new ZeroPrior<2>(lines[i].place_sd_m), nullptr, net_shift_m_);
      } else {
        problem_.AddResidualBlock(
            new ZeroPrior<1>(options.line_sigma_px), nullptr, &offsets_[i]);
      }
    }
  }

  CameraModel start_;
  Eigen::Matrix3d rotation_;
  State state_;
  std::vector<double> offsets_;     // px, of the painted lines
  double net_shift_m_[2] = {0, 0};  // along x and z
  int net_ = -1;
  std::vector<bool> used_;
  ceres::Problem problem_;
};

double rms(const std::vector<double>& values) {
  double sum = 0;
  for (const double v : values) sum += v * v;
  return values.empty() ? 0 : std::sqrt(sum / values.size());
}

double cut_residual(const CameraModel& camera,
                    const SurfaceLine& line,
                    const LineCut& cut,
                    const Eigen::Vector3d& shift_m) {
  const auto low = camera.project(line.low_m(cut.along) + shift_m);
  const auto high = camera.project(line.seen_high_m(cut.along) + shift_m);
  if (!low || !high) return std::numeric_limits<double>::infinity();
  return cut.normal.dot(cut.measured_px - (*low + *high) / 2);
}

// Residuals of the solution, their spread, and chi2 per degree of freedom.
void summarise(const Problem& problem,
               const std::vector<SurfaceLine>& lines,
               const std::vector<LineCut>& cuts,
               const std::vector<MarkedPoint>& points,
               const CameraSolverOptions& options,
               CameraSolution& solution) {
  std::vector<double> sizes, inliers, coordinates;
  double chi2 = 0;
  int agreeing = 0;
  std::vector<double> own;  // without what the whole line is off by
  for (const LineCut& cut : cuts) {
    const SurfaceLine& line = lines[cut.line];
    const Eigen::Vector3d none = Eigen::Vector3d::Zero();
    const double r = cut_residual(solution.camera, line, cut, none);
    solution.cut_residual_px.push_back(r);
    own.push_back(
        line.net
            ? cut_residual(solution.camera, line, cut, problem.net_shift_m())
            : r - problem.offset(cut.line));
    sizes.push_back(std::abs(line.net ? own.back() : r));
  }
  const double limit =
      5 * std::max(1.4826 * median(sizes), options.cut_sigma_px);
  for (std::size_t i = 0; i < cuts.size(); ++i) {
    solution.cut_agrees.push_back(sizes[i] <= limit);
    if (sizes[i] > limit) continue;
    ++agreeing;
    chi2 += std::pow(own[i] / options.cut_sigma_px, 2);
    if (!lines[cuts[i].line].net) {
      inliers.push_back(solution.cut_residual_px[i]);
    }
  }
  for (const MarkedPoint& point : points) {
    const auto p = solution.camera.project(point.x_in_table_m);
    const Eigen::Vector2d r =
        p ? Eigen::Vector2d(point.picture_px - *p) : Eigen::Vector2d(1e3, 1e3);
    coordinates.push_back(r.x());
    coordinates.push_back(r.y());
    chi2 += r.squaredNorm() / (point.sigma_px * point.sigma_px);
  }
  solution.cut_rms_px = rms(inliers);
  solution.point_rms_px = rms(coordinates);
  solution.inliers = cuts.empty() ? 1 : double(agreeing) / cuts.size();
  const double freedom =
      double(agreeing + coordinates.size()) - kCameraParameters;
  solution.chi2_per_freedom = freedom > 0 ? chi2 / freedom : 0;
}

}  // namespace

CameraSolverOptions with_lens(const KnownLens& known) {
  const LensModel<double>& lens = known.lens;
  CameraSolverOptions options;
  options.focal_px = Expected{lens.focal_px, known.focal_sd * lens.focal_px};
  options.centre_px = Eigen::Vector2d(lens.centre_u_px, lens.centre_v_px);
  options.centre_sd = known.centre_sd;
  options.k1 = {lens.k1, known.k1_sd};
  options.k2 = {lens.k2, known.k2_sd};
  return options;
}

void CameraSolverOptions::check() const {
  require_positive(cut_sigma_px, "cut_sigma_px");
  require_positive(line_sigma_px, "line_sigma_px");
  require_positive(robust_px, "robust_px");
  require_positive(k1.sd, "k1 sd");
  require_positive(k2.sd, "k2 sd");
  require_positive(log_focal.sd, "log_focal sd");
  require_positive(centre_sd, "centre_sd");
  if (focal_px) require_positive(focal_px->sd, "focal sd");
  if (height_m) require_positive(height_m->sd, "height sd");
}

CameraSolution solve_camera(const CameraModel& start,
                            const std::vector<SurfaceLine>& lines,
                            const std::vector<LineCut>& cuts,
                            const std::vector<MarkedPoint>& points,
                            const CameraSolverOptions& options) {
  options.check();
  CameraSolution solution;
  solution.camera = start;
  if (cuts.size() + 2 * points.size() < 7) {
    solution.message = "too few line cuts and points to solve a camera";
    return solution;
  }
  const Eigen::Vector2d centre_px = options.centre_px.value_or(
      Eigen::Vector2d((start.width_px - 1) / 2.0, (start.height_px - 1) / 2.0));
  Problem first(start, lines, cuts, points, centre_px, options);
  if (!first.solve(options.max_iterations, solution.message)) return solution;
  // Once more around the solution, so that the turn is zero and the covariance
  // is that of moved_camera()'s parameters.
  Problem centred(first.camera(), lines, cuts, points, centre_px, options);
  if (!centred.solve(20, solution.message)) return solution;
  solution.camera = centred.camera();
  FullCameraCovariance all;
  if (!centred.covariance(all)) {
    solution.message = "the lines and points seen leave the camera open";
    return solution;
  }
  solution.covariance = fold_centre(solution.camera, half_size(lines), all);
  solution.marginal = all.topLeftCorner<kCameraParameters, kCameraParameters>();
  summarise(centred, lines, cuts, points, options, solution);
  solution.covariance *= std::max(1.0, solution.chi2_per_freedom);
  solution.marginal *= std::max(1.0, solution.chi2_per_freedom);
  solution.solved = true;
  return solution;
}

double px_per_m_at(const CameraModel& camera,
                   const SurfaceLine& line,
                   const LineCut& cut) {
  constexpr double kNudge_m = 1e-3;
  const Eigen::Vector3d across =
      (line.high_from_m - line.low_from_m).normalized();
  const Eigen::Vector3d x = line.middle_m(cut.along);
  const auto a = camera.project(x - kNudge_m * across);
  const auto b = camera.project(x + kNudge_m * across);
  if (!a || !b) return 0;
  return std::abs(cut.normal.dot(*b - *a)) / (2 * kNudge_m);
}

}  // namespace evenfeed
