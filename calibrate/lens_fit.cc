// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/lens_fit.h"

#include "calibrate/camera_model.h"
#include "calibrate/quiet_solver.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>

#include <Eigen/Cholesky>
#include <ceres/ceres.h>
#include <ceres/rotation.h>
#include <opencv2/calib3d.hpp>

namespace loftline {
namespace {

constexpr double kAxisStdShare = 0.01;     // of the longer side: where assembly and cropping leave the axis of a phone
constexpr double kSheetAspectStd = 0.003;  // printers stretch a page by some tenths of a per cent
constexpr double kSheetBendStd = 0.3;      // squares: 7 mm for squares of 25 mm
constexpr double kStartViewDeg = 65.0;
constexpr double kMadeWithin_px = 1e-3;  // no corner is found better than this
constexpr std::size_t kBoardsForShared = 8;
constexpr int kPlaceSize = 6;  // rotation vector, then shift, from board to cam, in squares
using Place = std::array<double, kPlaceSize>;

// (px of a board's corner - seen px), in pixels. Blocks: lens (kLensSize), place of the board (kPlaceSize).
struct CornerError {
  Eigen::Vector2d on_board, half_size;  // squares, from the middle of the board
  Eigen::Vector2d seen_px, middle_px;

  template <typename T>
  bool operator()(const T* const lens, const T* const place, T* residual) const {
    const double across = on_board.x() / half_size.x(), down = on_board.y() / half_size.y();
    const T bend =
        across * across * lens[kSheetBendXX] + across * down * lens[kSheetBendXY] + down * down * lens[kSheetBendYY];
    const T corner[3] = {T(on_board.x()), on_board.y() * (1.0 + lens[kSheetAspect]), bend};
    T in_cam[3];
    ceres::AngleAxisRotatePoint(place, corner, in_cam);
    for (int i = 0; i < 3; ++i) in_cam[i] += place[3 + i];
    if (!(in_cam[2] > T(1e-6))) return false;
    const Eigen::Matrix<T, 2, 1> ideal(in_cam[0] / in_cam[2], in_cam[1] / in_cam[2]);
    const Eigen::Matrix<T, 2, 1> distorted = Distorted(lens, ideal);
    residual[0] = lens[kLensFocalPx] * distorted[0] + lens[kLensAxisX] + middle_px.x() - seen_px.x();
    residual[1] = lens[kLensFocalPx] * distorted[1] + lens[kLensAxisY] + middle_px.y() - seen_px.y();
    return true;
  }
};

// What is known of axis and sheet beforehand: they are where and as they should be, give or take.
LensVector KnownStd(int width_px, int height_px) {
  LensVector std = LensVector::Constant(0.0);  // nothing known
  std[kLensAxisX] = std[kLensAxisY] = kAxisStdShare * std::max(width_px, height_px);
  std[kSheetAspect] = kSheetAspectStd;
  std[kSheetBendXX] = std[kSheetBendXY] = std[kSheetBendYY] = kSheetBendStd;
  return std;
}

// (axis and sheet - 0) / std, in units of a corner's noise. Block: lens.
struct KnownPrior {
  LensVector std;
  double noise_px;

  template <typename T>
  bool operator()(const T* const lens, T* residual) const {
    for (int i = kLensAxisX; i < kLensSize; ++i) residual[i - kLensAxisX] = lens[i] * (noise_px / std[i]);
    return true;
  }
};
constexpr int kKnown = kLensSize - kLensAxisX;

class LensProblem {
 public:
  LensProblem(std::span<const SeenBoard> boards, BoardSize size, int width_px, int height_px)
      : boards_(boards), size_(size), width_px_(width_px), height_px_(height_px) {
    const Eigen::Vector2d middle_px((width_px - 1) / 2.0, (height_px - 1) / 2.0);
    for (const SeenBoard& board : boards) {
      auto& costs = costs_.emplace_back();
      for (int i = 0; i < size.corners(); ++i) {
        const Eigen::Vector2d half((size.across - 1) / 2.0, (size.down - 1) / 2.0);
        const CornerError corner{OnBoard(i) - half, half, board.corners_px[static_cast<std::size_t>(i)], middle_px};
        costs.push_back(std::make_unique<ceres::AutoDiffCostFunction<CornerError, 2, kLensSize, kPlaceSize>>(
            new CornerError(corner)));
      }
    }
  }

  bool Start();
  bool Solve();
  std::optional<LensFit> Fit() const;

 private:
  // What one board says of the lens once its own place has been taken out.
  struct Vote {
    LensMatrix information = LensMatrix::Zero();
    LensVector score = LensVector::Zero();
    double square_px2 = 0.0;
  };

  Eigen::Vector2d OnBoard(int corner) const { return {corner % size_.across, corner / size_.across}; }
  Vote VoteOf(std::size_t board) const;
  int Dof() const {
    const int boards = static_cast<int>(boards_.size());
    return std::max(1, boards * (2 * size_.corners() - kPlaceSize) - kLensSize);
  }

  std::span<const SeenBoard> boards_;
  BoardSize size_;
  int width_px_, height_px_;
  LensVector lens_ = LensVector::Zero();
  std::vector<Place> places_;
  std::vector<std::vector<std::unique_ptr<ceres::CostFunction>>> costs_;
  double noise_px_ = 0.3;
};

// OpenCV's own calibration, the axis in the middle.
bool LensProblem::Start() {
  std::vector<cv::Point3f> flat;
  for (int i = 0; i < size_.corners(); ++i) {
    const Eigen::Vector2d from_middle = OnBoard(i) - Eigen::Vector2d(size_.across - 1, size_.down - 1) / 2.0;
    flat.emplace_back(static_cast<float>(from_middle.x()), static_cast<float>(from_middle.y()), 0.0F);
  }
  std::vector<std::vector<cv::Point2f>> seen;
  for (const SeenBoard& board : boards_) {
    auto& corners = seen.emplace_back();
    for (const Eigen::Vector2d& px : board.corners_px) {
      corners.emplace_back(static_cast<float>(px.x()), static_cast<float>(px.y()));
    }
  }
  const double focal_px = FocalPxFromView(RadFromDeg(kStartViewDeg), std::max(width_px_, height_px_));
  cv::Mat lens =
      (cv::Mat_<double>(3, 3) << focal_px, 0, (width_px_ - 1) / 2.0, 0, focal_px, (height_px_ - 1) / 2.0, 0, 0, 1);
  cv::Mat distortion = cv::Mat::zeros(1, 5, CV_64F);
  std::vector<cv::Vec3d> rotations, shifts;
  const int model =
      cv::CALIB_USE_INTRINSIC_GUESS | cv::CALIB_FIX_ASPECT_RATIO | cv::CALIB_FIX_PRINCIPAL_POINT | cv::CALIB_FIX_K3;
  try {
    cv::calibrateCamera(std::vector<std::vector<cv::Point3f>>(boards_.size(), flat),
                        seen,
                        {width_px_, height_px_},
                        lens,
                        distortion,
                        rotations,
                        shifts,
                        model);
  } catch (const cv::Exception&) {  // its linear algebra gives up on boards that lie in one line
    return false;
  }
  lens_.head<kLensAxisX>() << lens.at<double>(0, 0), distortion.at<double>(0), distortion.at<double>(1),
      distortion.at<double>(2), distortion.at<double>(3);
  for (std::size_t i = 0; i < boards_.size(); ++i) {
    places_.push_back({rotations[i][0], rotations[i][1], rotations[i][2], shifts[i][0], shifts[i][1], shifts[i][2]});
  }
  return lens_.allFinite() && lens_[kLensFocalPx] > 0.0;
}

bool LensProblem::Solve() {
  QuietSolver();
  for (int round = 0; round < 2; ++round) {  // the second knows the corners' noise
    ceres::Problem::Options ours;
    ours.cost_function_ownership = ceres::DO_NOT_TAKE_OWNERSHIP;
    ceres::Problem problem(ours);
    for (std::size_t i = 0; i < boards_.size(); ++i) {
      for (const auto& cost : costs_[i]) problem.AddResidualBlock(cost.get(), nullptr, lens_.data(), places_[i].data());
    }
    ceres::AutoDiffCostFunction<KnownPrior, kKnown, kLensSize> known(
        new KnownPrior{KnownStd(width_px_, height_px_), noise_px_});
    problem.AddResidualBlock(&known, nullptr, lens_.data());
    ceres::Solver::Options options;
    options.linear_solver_type = ceres::DENSE_SCHUR;
    auto order = std::make_shared<ceres::ParameterBlockOrdering>();
    for (Place& place : places_) order->AddElementToGroup(place.data(), 0);
    order->AddElementToGroup(lens_.data(), 1);
    options.linear_solver_ordering = order;
    options.max_num_iterations = 100;
    options.function_tolerance = 1e-12;
    options.logging_type = ceres::SILENT;
    ceres::Solver::Summary summary;
    ceres::Solve(options, &problem, &summary);
    if (!summary.IsSolutionUsable() || !lens_.allFinite() || lens_[kLensFocalPx] <= 0.0) return false;
    double square_px2 = 0.0;
    for (std::size_t i = 0; i < boards_.size(); ++i) square_px2 += VoteOf(i).square_px2;
    noise_px_ = std::max(std::sqrt(square_px2 / Dof()), kMadeWithin_px);
  }
  return true;
}

LensProblem::Vote LensProblem::VoteOf(std::size_t board) const {
  Vote vote;
  Eigen::Matrix<double, kPlaceSize, kPlaceSize> place = Eigen::Matrix<double, kPlaceSize, kPlaceSize>::Zero();
  Eigen::Matrix<double, kLensSize, kPlaceSize> both = Eigen::Matrix<double, kLensSize, kPlaceSize>::Zero();
  Eigen::Matrix<double, kPlaceSize, 1> place_score = Eigen::Matrix<double, kPlaceSize, 1>::Zero();
  for (const auto& cost : costs_[board]) {
    Eigen::Vector2d residual;
    Eigen::Matrix<double, 2, kLensSize, Eigen::RowMajor> by_lens;
    Eigen::Matrix<double, 2, kPlaceSize, Eigen::RowMajor> by_place;
    const double* blocks[] = {lens_.data(), places_[board].data()};
    double* jacobians[] = {by_lens.data(), by_place.data()};
    if (!cost->Evaluate(blocks, residual.data(), jacobians)) continue;
    vote.information += by_lens.transpose() * by_lens;
    vote.score += by_lens.transpose() * residual;
    place += by_place.transpose() * by_place;
    both += by_lens.transpose() * by_place;
    place_score += by_place.transpose() * residual;
    vote.square_px2 += residual.squaredNorm();
  }
  const Eigen::LDLT<Eigen::Matrix<double, kPlaceSize, kPlaceSize>> solver(place);
  vote.score -= both * solver.solve(place_score);
  vote.information -= both * solver.solve(both.transpose());
  return vote;
}

std::optional<LensFit> LensProblem::Fit() const {
  LensMatrix information = LensMatrix::Zero(), scatter = LensMatrix::Zero();
  LensFit fit;
  for (std::size_t i = 0; i < boards_.size(); ++i) {
    const Vote vote = VoteOf(i);
    information += vote.information / (noise_px_ * noise_px_);
    const LensVector score = vote.score / (noise_px_ * noise_px_);
    scatter += score * score.transpose();
    fit.board_misfit_px.push_back(std::sqrt(vote.square_px2 / (2.0 * size_.corners())));
  }
  const LensVector known = KnownStd(width_px_, height_px_);
  for (int i = kLensAxisX; i < kLensSize; ++i) information(i, i) += 1.0 / (known[i] * known[i]);
  const LensVector scale = information.diagonal().cwiseMax(1e-300).cwiseSqrt().cwiseInverse();
  const LensMatrix scaled = scale.asDiagonal() * information * scale.asDiagonal();
  const Eigen::LLT<LensMatrix> solver(scaled);
  if (solver.info() != Eigen::Success) return std::nullopt;
  fit.lens = lens_;
  fit.misfit_px = noise_px_;
  fit.covariance = scale.asDiagonal() * solver.solve(LensMatrix::Identity()) * scale.asDiagonal();
  if (!fit.covariance.allFinite()) return std::nullopt;
  // The boards' own scatter against what independent corners would give (the "sandwich" estimate), over the lens.
  const double boards = static_cast<double>(boards_.size());
  if (boards_.size() >= kBoardsForShared) {
    const LensMatrix between = fit.covariance * scatter * fit.covariance * (boards / (boards - 4.0));
    double ratio = 0.0;
    for (int i = 0; i <= kLensP2; ++i) ratio += between(i, i) / fit.covariance(i, i) / (kLensP2 + 1);
    fit.shared_variance = std::max(1.0, ratio);
    fit.covariance *= fit.shared_variance;
  }
  return fit;
}

}  // namespace

std::optional<LensFit> FitLens(std::span<const SeenBoard> boards, BoardSize size, int width_px, int height_px) {
  LensProblem problem(boards, size, width_px, height_px);
  if (!problem.Start() || !problem.Solve()) return std::nullopt;
  return problem.Fit();
}

}  // namespace loftline
