// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/lens.h"

#include "calibrate/camera_model.h"
#include "calibrate/lens_fit.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::size_t kLeastBoards = 5;
constexpr double kLargestViewStdDeg = 2.0;
constexpr double kLargestMisfitShare = 0.004;  // of the longer side: 8 px on 1920
constexpr double kBadBoardRatio = 3.0;         // of its misfit to the boards' median

Error Refusal(const char* code, const std::string& message, const std::string& advice) {
  return {ErrorKind::kRefused, code, message, advice};
}

Error TooFew(std::size_t boards) {
  return Refusal(
      "too-few-boards",
      fmt::format(
          "The board shows whole in {} picture{}; {} are needed.", boards, boards == 1 ? "" : "s", kLeastBoards),
      "Take 15 to 30 pictures of the whole board, tilted differently and in all parts of the picture.");
}

Error NotTilted(double std_deg) {
  return Refusal(
      "boards-not-tilted",
      fmt::format("The boards all face the camera alike, which leaves the view angle open by {:.1f} degrees.",
                  std::min(std_deg, 90.0)),
      "Tilt the board, or the phone, by 20 to 40 degrees: to the left, the right, up and down.");
}

Error DoNotFit(double misfit_px) {
  return Refusal("boards-do-not-fit",
                 fmt::format("No lens explains the boards: corners are off by {:.1f} pixels.", misfit_px),
                 "Use a flat board of equal squares, the phone in one mode, without zoom or stabilisation.");
}

// The boards whose misfit is out of line with the others'.
std::vector<std::string> BadBoards(std::span<const SeenBoard> boards, const LensFit& fit) {
  std::vector<double> sorted = fit.board_misfit_px;
  std::nth_element(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2), sorted.end());
  const double limit_px = std::max(kBadBoardRatio * sorted[sorted.size() / 2], 0.2);
  std::vector<std::string> bad;
  for (std::size_t i = 0; i < boards.size(); ++i) {
    if (fit.board_misfit_px[i] > limit_px) bad.push_back(boards[i].picture);
  }
  return bad;
}

// The tangential terms that our model, whose axis is in the middle, needs for an axis D from it: k1 |x - d|^2 (x - d)
// is k1 |x|^2 x minus k1 (2 (d.x) x + |x|^2 d), to first order in d.
LensCalibration Translated(const LensFit& fit, int width_px) {
  const LensVector& lens = fit.lens;
  const double focal_px = lens[kLensFocalPx], view_rad = HorizontalViewRad(focal_px, width_px);
  const auto variance = [&](const LensVector& gradient) { return gradient.dot(fit.covariance * gradient); };
  const auto alone = [&](int index) { return Measured{lens[index], std::sqrt(fit.covariance(index, index))}; };
  const auto tangential = [&](int index, int axis) {
    const double offset = lens[axis] / focal_px;
    LensVector gradient = LensVector::Zero();
    gradient[index] = 1.0;
    gradient[kLensK1] = -offset;
    gradient[axis] = -lens[kLensK1] / focal_px;
    return Measured{lens[index] - lens[kLensK1] * offset, std::sqrt(variance(gradient))};
  };
  LensCalibration calibration;
  calibration.horizontal_view_deg = {DegFromRad(view_rad),
                                     DegFromRad(std::sin(view_rad) / focal_px * alone(kLensFocalPx).std)};
  calibration.k1 = alone(kLensK1);
  calibration.k2 = alone(kLensK2);
  calibration.k1_k2_correlation =
      std::clamp(fit.covariance(kLensK1, kLensK2) / (calibration.k1.std * calibration.k2.std), -0.9999, 0.9999);
  calibration.p1 = tangential(kLensP1, kLensAxisY);
  calibration.p2 = tangential(kLensP2, kLensAxisX);
  calibration.principal_x_px = alone(kLensAxisX);
  calibration.principal_y_px = alone(kLensAxisY);
  calibration.misfit_px = fit.misfit_px;
  calibration.shared_error = std::sqrt(fit.shared_variance);
  calibration.boards = static_cast<int>(fit.board_misfit_px.size());
  return calibration;
}

}  // namespace

CameraEvidence LensCalibration::AsEvidence() const {
  CameraEvidence lens;
  lens.horizontal_view_deg = horizontal_view_deg.value;
  lens.horizontal_view_std_deg = horizontal_view_deg.std;
  lens.k1 = k1.value;
  lens.k2 = k2.value;
  lens.p1 = p1.value;
  lens.p2 = p2.value;
  lens.k1_std = k1.std;
  lens.k2_std = k2.std;
  lens.p1_std = p1.std;
  lens.p2_std = p2.std;
  lens.k1_k2_correlation = k1_k2_correlation;
  return lens;
}

Expected<LensCalibration> CalibrateLens(std::span<const SeenBoard> boards,
                                        BoardSize size,
                                        int width_px,
                                        int height_px) {
  if (boards.size() < kLeastBoards) return TooFew(boards.size());
  std::vector<SeenBoard> used(boards.begin(), boards.end());
  std::optional<LensFit> fit = FitLens(used, size, width_px, height_px);
  std::vector<std::string> left_out;
  if (fit) {
    left_out = BadBoards(used, *fit);
    std::erase_if(used, [&](const SeenBoard& board) {
      return std::find(left_out.begin(), left_out.end(), board.picture) != left_out.end();
    });
    if (used.size() < kLeastBoards) return TooFew(used.size());
    if (!left_out.empty()) fit = FitLens(used, size, width_px, height_px);
  }
  if (!fit) return NotTilted(90.0);
  if (fit->misfit_px > kLargestMisfitShare * std::max(width_px, height_px)) return DoNotFit(fit->misfit_px);
  LensCalibration calibration = Translated(*fit, width_px);
  if (!(calibration.horizontal_view_deg.std < kLargestViewStdDeg)) {
    return NotTilted(calibration.horizontal_view_deg.std);
  }
  calibration.left_out = std::move(left_out);
  return calibration;
}

}  // namespace loftline
