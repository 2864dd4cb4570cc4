// SPDX-License-Identifier: MIT
#include "vision/camera_solver.h"

#include "base/check.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include <Eigen/QR>
#include <Eigen/SVD>
#include <ceres/ceres.h>
#include <ceres/rotation.h>

namespace evenfeed {
namespace {

// The camera during a solve: the start turned by `turn`, other values whole.
struct State {
  double lens[5];         // focal_px, k1, k2, centre_u_px, centre_v_px
  double turn[3];         // angle-axis in the camera frame
  double translation[3];  // m
};

// What residuals share: the start's rotation.
struct Frame {
  Eigen::Matrix3d start_rotation;

  template <typename T>
  Eigen::Matrix<T, 2, 1> project(const T* lens,
                                 const T* turn,
                                 const T* translation,
                                 const Eigen::Vector3d& x_in_table_m) const {
    const Eigen::Vector3d turned = start_rotation * x_in_table_m;
    const T before[3] = {T(turned.x()), T(turned.y()), T(turned.z())};
    Eigen::Matrix<T, 3, 1> after;
    ceres::AngleAxisRotatePoint(turn, before, after.data());
    for (int i = 0; i < 3; ++i) after[i] += translation[i];
    LensModel<T> model;
    model.focal_px = lens[0];
    model.k1 = lens[1];
    model.k2 = lens[2];
    model.centre_u_px = lens[3];
    model.centre_v_px = lens[4];
    return model.project(after);
  }
};

struct CutResidual {
  Frame frame;
  Eigen::Vector3d low_m, high_m;
  Eigen::Vector2d measured_px, normal;
  double sigma_px;

  template <typename T>
  bool operator()(const T* lens,
                  const T* turn,
                  const T* translation,
                  const T* line_offset,
                  T* residual) const {
    const auto low = frame.project(lens, turn, translation, low_m);
    const auto high = frame.project(lens, turn, translation, high_m);
    const T du = T(measured_px.x()) - (low.x() + high.x()) / 2.0;
    const T dv = T(measured_px.y()) - (low.y() + high.y()) / 2.0;
    residual[0] =
        (normal.x() * du + normal.y() * dv - line_offset[0]) / sigma_px;
    return true;
  }
};

struct PointResidual {
  Frame frame;
  MarkedPoint point;

  template <typename T>
  bool operator()(const T* lens,
                  const T* turn,
                  const T* translation,
                  T* residual) const {
    const auto p = frame.project(lens, turn, translation, point.x_in_table_m);
    residual[0] = (T(point.picture_px.x()) - p.x()) / point.sigma_px;
    residual[1] = (T(point.picture_px.y()) - p.y()) / point.sigma_px;
    return true;
  }
};

struct LensPrior {
  CameraSolverOptions options;
  double width_px;
  Eigen::Vector2d centre_px;

  template <typename T>
  bool operator()(const T* lens, T* residual) const {
    using std::log;
    if (options.focal_px) {
      residual[0] = (lens[0] - options.focal_px->value) / options.focal_px->sd;
    } else {
      residual[0] = (log(lens[0] / width_px) - options.log_focal.value) /
                    options.log_focal.sd;
    }
    residual[1] = (lens[1] - options.k1.value) / options.k1.sd;
    residual[2] = (lens[2] - options.k2.value) / options.k2.sd;
    residual[3] = (lens[3] - centre_px.x()) / (options.centre_sd * width_px);
    residual[4] = (lens[4] - centre_px.y()) / (options.centre_sd * width_px);
    return true;
  }
};

// Eye height: z of -R^T t.
struct HeightPrior {
  Frame frame;
  Expected height_m;

  template <typename T>
  bool operator()(const T* turn, const T* translation, T* residual) const {
    const T back[3] = {-turn[0], -turn[1], -turn[2]};
    T in_start[3];
    ceres::AngleAxisRotatePoint(back, translation, in_start);
    T z = T(0);
    for (int i = 0; i < 3; ++i) {
      z -= frame.start_rotation(i, 2) * in_start[i];
    }
    residual[0] = (z - height_m.value) / height_m.sd;
    return true;
  }
};

struct OffsetPrior {
  double sigma_px;
  template <typename T>
  bool operator()(const T* offset, T* residual) const {
    residual[0] = offset[0] / sigma_px;
    return true;
  }
};

template <typename Cost, int kResiduals, int... kSizes>
ceres::CostFunction* cost(Cost functor) {
  return new ceres::AutoDiffCostFunction<Cost, kResiduals, kSizes...>(
      new Cost(std::move(functor)));
}

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
  camera.lens.focal_px = state.lens[0];
  camera.lens.k1 = state.lens[1];
  camera.lens.k2 = state.lens[2];
  camera.lens.centre_u_px = state.lens[3];
  camera.lens.centre_v_px = state.lens[4];
  const Eigen::Vector3d turn(state.turn[0], state.turn[1], state.turn[2]);
  const double angle = turn.norm();
  if (angle > 0) {
    camera.camera_from_table.rotation =
        (Eigen::Quaterniond(Eigen::AngleAxisd(angle, turn / angle)) *
         camera.camera_from_table.rotation)
            .normalized();
  }
  camera.camera_from_table.translation_m = {
      state.translation[0], state.translation[1], state.translation[2]};
  return camera;
}

// Nine parameters of moved_camera() and the principal point.
using Covariance11 = Eigen::Matrix<double, 11, 11>;

// A bench carries nine parameters: those of moved_camera(). A shift of the
// principal point becomes the change of the nine that moves the picture of a
// block of space over the table most nearly alike, by least squares.
CameraCovariance fold_centre(const CameraModel& camera,
                             const Eigen::Vector2d& half_size_m,
                             const Covariance11& all) {
  const double steps[kCameraParameters] = {
      1e-2, 1e-5, 1e-5, 1e-6, 1e-6, 1e-6, 1e-6, 1e-6, 1e-6};
  std::vector<Eigen::Vector3d> block;
  for (const double x : {-1.0, -0.5, 0.0, 0.5, 1.0}) {
    for (const double y : {-1.0, 0.0, 1.0}) {
      for (const double z : {0.0, 0.15, 0.4}) {
        const Eigen::Vector3d at{x * half_size_m.x(), y * half_size_m.y(), z};
        const auto p = camera.project(at);
        if (p && camera.in_picture(*p, -0.1 * camera.width_px)) {
          block.push_back(at);
        }
      }
    }
  }
  Eigen::MatrixXd nine(2 * block.size(), kCameraParameters);
  Eigen::MatrixXd centre(2 * block.size(), 2);
  const auto moved = [&](const Eigen::Vector3d& x, int i, double step) {
    Eigen::Matrix<double, kCameraParameters, 1> delta;
    delta.setZero();
    delta[i] = step;
    return moved_camera(camera, delta).project(x);
  };
  for (std::size_t row = 0; row < block.size(); ++row) {
    centre.block<2, 2>(2 * row, 0).setIdentity();
    for (int i = 0; i < kCameraParameters; ++i) {
      const auto a = moved(block[row], i, -steps[i]);
      const auto b = moved(block[row], i, steps[i]);
      nine.block<2, 1>(2 * row, i).setZero();
      if (a && b) nine.block<2, 1>(2 * row, i) = (*b - *a) / (2 * steps[i]);
    }
  }
  Eigen::Matrix<double, kCameraParameters, 11> fold;
  fold.setZero();
  fold.leftCols<kCameraParameters>().setIdentity();
  if (block.size() >= 6) {
    fold.rightCols<2>() = nine.colPivHouseholderQr().solve(centre);
  }
  return fold * all * fold.transpose();
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
        frame_{start.camera_from_table.rotation.toRotationMatrix()},
        state_(state_of(start)),
        offsets_(lines.size(), 0.0),
        used_(lines.size(), false) {
    add_cuts(lines, cuts, options);
    for (const MarkedPoint& point : points) {
      problem_.AddResidualBlock(
          cost<PointResidual, 2, 5, 3, 3>({frame_, point}),
          new ceres::CauchyLoss(3.0),
          state_.lens,
          state_.turn,
          state_.translation);
    }
    problem_.AddResidualBlock(
        cost<LensPrior, 5, 5>(
            {options, static_cast<double>(start.width_px), centre_px}),
        nullptr,
        state_.lens);
    if (options.height_m) {
      problem_.AddResidualBlock(
          cost<HeightPrior, 1, 3, 3>({frame_, *options.height_m}),
          nullptr,
          state_.turn,
          state_.translation);
    }
    problem_.SetParameterLowerBound(state_.lens, 0, 0.1 * start.width_px);
    problem_.SetParameterUpperBound(state_.lens, 0, 20.0 * start.width_px);
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
  bool covariance(Covariance11& result) {
    ceres::Problem::EvaluateOptions options;
    options.parameter_blocks = {state_.lens, state_.turn, state_.translation};
    for (std::size_t i = 0; i < offsets_.size(); ++i) {
      if (used_[i]) options.parameter_blocks.push_back(&offsets_[i]);
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
    const Eigen::JacobiSVD<Eigen::MatrixXd> svd(
        jacobian.householderQr()
            .matrixQR()
            .topRows(jacobian.cols())
            .triangularView<Eigen::Upper>()
            .toDenseMatrix(),
        Eigen::ComputeFullV);
    if (!(svd.singularValues().minCoeff() > 0)) return false;
    const Eigen::MatrixXd half =
        scale.cwiseInverse().asDiagonal() * svd.matrixV() *
        svd.singularValues().cwiseInverse().asDiagonal();
    const Eigen::MatrixXd cells = half * half.transpose();
    const int order[11] = {0, 1, 2, 5, 6, 7, 8, 9, 10, 3, 4};
    for (int i = 0; i < 11; ++i) {
      for (int j = 0; j < 11; ++j) result(i, j) = cells(order[i], order[j]);
    }
    return result.allFinite();
  }

  CameraModel camera() const { return camera_of(state_, start_); }
  double offset(int line) const { return offsets_[line]; }

 private:
  // A line whose place on the table is uncertain moves in the picture by as
  // much as the camera shows of it, along the cuts.
  double line_sigma(const SurfaceLine& line,
                    int index,
                    const std::vector<LineCut>& cuts,
                    const CameraSolverOptions& options) const {
    if (line.place_sd_m <= 0) return options.line_sigma_px;
    double square = 0;
    int n = 0;
    for (const LineCut& cut : cuts) {
      if (cut.line != index) continue;
      const Eigen::Vector3d x = line.low_m(cut.along);
      for (const int axis : {0, 2}) {
        const Eigen::Vector3d moved =
            x + line.place_sd_m * Eigen::Vector3d::Unit(axis);
        const auto a = start_.project(x), b = start_.project(moved);
        if (a && b) square += std::pow(cut.normal.dot(*b - *a), 2);
      }
      ++n;
    }
    return std::hypot(options.line_sigma_px,
                      std::sqrt(square / std::max(n, 1)));
  }

  void add_cuts(const std::vector<SurfaceLine>& lines,
                const std::vector<LineCut>& cuts,
                const CameraSolverOptions& options) {
    for (const LineCut& cut : cuts) {
      const SurfaceLine& line = lines[cut.line];
      used_[cut.line] = true;
      problem_.AddResidualBlock(
          cost<CutResidual, 1, 5, 3, 3, 1>({frame_,
                                            line.low_m(cut.along),
                                            line.seen_high_m(cut.along),
                                            cut.measured_px,
                                            cut.normal,
                                            options.cut_sigma_px}),
          new ceres::CauchyLoss(options.robust_px / options.cut_sigma_px),
          state_.lens,
          state_.turn,
          state_.translation,
          &offsets_[cut.line]);
    }
    for (std::size_t i = 0; i < lines.size(); ++i) {
      if (!used_[i]) continue;
      problem_.AddResidualBlock(
          cost<OffsetPrior, 1, 1>(
              {line_sigma(lines[i], static_cast<int>(i), cuts, options)}),
          nullptr,
          &offsets_[i]);
    }
  }

  CameraModel start_;
  Frame frame_;
  State state_;
  std::vector<double> offsets_;
  std::vector<bool> used_;
  ceres::Problem problem_;
};

double median(std::vector<double> values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + values.size() / 2;
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

double rms(const std::vector<double>& values) {
  double sum = 0;
  for (const double v : values) sum += v * v;
  return values.empty() ? 0 : std::sqrt(sum / values.size());
}

double cut_residual(const CameraModel& camera,
                    const SurfaceLine& line,
                    const LineCut& cut) {
  const auto low = camera.project(line.low_m(cut.along));
  const auto high = camera.project(line.seen_high_m(cut.along));
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
  for (const LineCut& cut : cuts) {
    const double r = cut_residual(solution.camera, lines[cut.line], cut);
    solution.cut_residual_px.push_back(r);
    // A net that hangs a little off is not a net that was not found.
    const bool net = lines[cut.line].place_sd_m > 0;
    sizes.push_back(std::abs(net ? r - problem.offset(cut.line) : r));
  }
  const double limit =
      5 * std::max(1.4826 * median(sizes), options.cut_sigma_px);
  for (std::size_t i = 0; i < cuts.size(); ++i) {
    if (sizes[i] > limit) continue;
    ++agreeing;
    if (lines[cuts[i].line].place_sd_m <= 0) {
      inliers.push_back(solution.cut_residual_px[i]);
    }
    const double own =
        solution.cut_residual_px[i] - problem.offset(cuts[i].line);
    chi2 += std::pow(own / options.cut_sigma_px, 2);
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
  Covariance11 all;
  if (!centred.covariance(all)) {
    solution.message = "the lines and points seen leave the camera open";
    return solution;
  }
  solution.covariance = fold_centre(solution.camera, half_size(lines), all);
  summarise(centred, lines, cuts, points, options, solution);
  solution.covariance *= std::max(1.0, solution.chi2_per_freedom);
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
