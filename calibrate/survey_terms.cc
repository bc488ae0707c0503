// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/survey_terms.h"

#include "calibrate/survey_defaults.h"

#include <ceres/autodiff_cost_function.h>
#include <fmt/format.h>

namespace loftline {
namespace {

namespace defaults = survey_defaults;

// (value of parameter INDEX of a block - expected) / std.
struct Prior {
  int index;
  double expected, std;

  template <typename T>
  bool operator()(const T* const block, T* residual) const {
    residual[0] = (block[index] - expected) / std;
    return true;
  }
};

// k1 and k2 against values whose errors go together: the first residual is k1's own, the second what k2 is off by
// beyond what k1's error makes likely. Correlation 0 leaves two priors.
struct RadialPrior {
  double k1, k1_std, k2, k2_std, correlation;

  template <typename T>
  bool operator()(const T* const camera, T* residual) const {
    residual[0] = (camera[kK1] - k1) / k1_std;
    residual[1] =
        ((camera[kK2] - k2) / k2_std - correlation * residual[0]) / std::sqrt(1.0 - correlation * correlation);
    return true;
  }
};

// View angle across a side of SIDE_PX pixels, radians, against its prior.
struct ViewPrior {
  double side_px, expected_rad, std_rad;

  template <typename T>
  bool operator()(const T* const camera, T* residual) const {
    using std::atan;
    residual[0] = (2.0 * atan(side_px / (2.0 * camera[kFocalPx])) - expected_rad) / std_rad;
    return true;
  }
};

// Distance from the flight plane. Blocks: camera, length ratio.
struct DistancePrior {
  double expected_m, std_m;

  template <typename T>
  bool operator()(const T* const camera, const T* const length_ratio, T* residual) const {
    residual[0] = (camera[kDistanceM] - length_ratio[0] * expected_m) / std_m;
    return true;
  }
};

// A mark: (px of a world point - marked px) / std. The point's x and y are numbers FIRST, FIRST + 1 of its block, its
// depth number DEPTH (or 0 where that is negative). Blocks: camera, point block.
struct MarkError {
  Eigen::Vector2d principal_px, marked_px;
  double std_px;
  int first, depth;

  template <typename T>
  bool operator()(const T* const camera, const T* const points, T* residual) const {
    const Eigen::Matrix<T, 3, 1> in_world(points[first], points[first + 1], depth < 0 ? T(0.0) : points[depth]);
    Eigen::Matrix<T, 2, 1> px;
    if (!PxFromWorld(camera, principal_px, in_world, &px)) return false;
    residual[0] = (px[0] - marked_px[0]) / std_px;
    residual[1] = (px[1] - marked_px[1]) / std_px;
    return true;
  }
};

// A point of known place, or the launch point (place 0, 0). Blocks: camera, length ratio.
struct KnownPointError {
  Eigen::Vector2d principal_px, marked_px, at_m;
  double std_px;

  template <typename T>
  bool operator()(const T* const camera, const T* const length_ratio, T* residual) const {
    const Eigen::Matrix<T, 3, 1> in_world(length_ratio[0] * at_m[0], length_ratio[0] * at_m[1], T(0.0));
    Eigen::Matrix<T, 2, 1> px;
    if (!PxFromWorld(camera, principal_px, in_world, &px)) return false;
    residual[0] = (px[0] - marked_px[0]) / std_px;
    residual[1] = (px[1] - marked_px[1]) / std_px;
    return true;
  }
};

// (distance between the two ends - length) / std. Blocks: points (two ends first), length ratio.
struct LengthError {
  double length_m, std_m;

  template <typename T>
  bool operator()(const T* const ends, const T* const length_ratio, T* residual) const {
    using std::sqrt;
    const T along = ends[2] - ends[0], up = ends[3] - ends[1];
    residual[0] = (sqrt(along * along + up * up) - length_ratio[0] * length_m) / std_m;
    return true;
  }
};

// Sine of the angle between the ends' direction and level (or plumb), in standard deviations.
struct DirectionError {
  bool plumb;
  double std_rad;

  template <typename T>
  bool operator()(const T* const ends, T* residual) const {
    using std::sqrt;
    const T along = ends[2] - ends[0], up = ends[3] - ends[1];
    residual[0] = (plumb ? along : up) / sqrt(along * along + up * up) / std_rad;
    return true;
  }
};

template <int kResiduals, int kBlock, typename Functor>
ceres::CostFunction* OneBlock(Functor functor) {
  return new ceres::AutoDiffCostFunction<Functor, kResiduals, kBlock>(new Functor(functor));
}

template <int kResiduals, int kBlock, int kOther, typename Functor>
ceres::CostFunction* TwoBlocks(Functor functor) {
  return new ceres::AutoDiffCostFunction<Functor, kResiduals, kBlock, kOther>(new Functor(functor));
}

class TermMaker {
 public:
  TermMaker(const Survey& survey,
            double* camera,
            double* length_ratio,
            SurveyUnknowns* unknowns,
            std::vector<Assumed>* assumed)
      : survey_(survey), camera_(camera), length_ratio_(length_ratio), unknowns_(unknowns), assumed_(assumed) {
    start_.width_px = survey.width_px;
    start_.height_px = survey.height_px;
    start_.parameters = Eigen::Map<const CameraVector>(camera);
  }

  std::vector<SurveyTerm> Make() {
    AddLens();
    AddPose();
    for (const Mark& mark : survey_.marks) std::visit([this](const auto& each) { AddMark(each); }, mark);
    AddOrigin();
    return std::move(terms_);
  }

 private:
  double Given(const std::optional<double>& given, double fallback, const char* what, const std::string& text) {
    if (!given) assumed_->push_back({what, text});
    return given.value_or(fallback);
  }

  void AddCameraPrior(const char* source, int index, double expected, double std) {
    terms_.push_back({source, OneBlock<1, kCameraSize>(Prior{index, expected, std}), {camera_}});
  }

  void AddLens() {
    const CameraEvidence& given = survey_.camera;
    const bool known = given.horizontal_view_deg.has_value();
    const int side_px = known ? survey_.width_px : std::max(survey_.width_px, survey_.height_px);
    const double view_deg = known ? *given.horizontal_view_deg : defaults::kLongSideViewDeg.value;
    const double std_deg =
        known ? given.horizontal_view_std_deg.value_or(defaults::kGivenViewStdDeg) : defaults::kLongSideViewDeg.std;
    if (!known) {
      assumed_->push_back({"lens view angle", fmt::format("{:g} ± {:g}° across the longer side", view_deg, std_deg)});
    }
    terms_.push_back({"lens view angle",
                      OneBlock<1, kCameraSize>(ViewPrior{double(side_px), RadFromDeg(view_deg), RadFromDeg(std_deg)}),
                      {camera_}});
    const bool lens_given = given.k1 || given.k2 || given.p1 || given.p2;
    const double radial_std = lens_given ? defaults::kGivenRadialStd : defaults::kRadialStd;
    const double tangential_std = lens_given ? defaults::kGivenTangentialStd : defaults::kTangentialStd;
    if (!lens_given) {
      assumed_->push_back({"lens distortion", fmt::format("none: k1, k2 0 ± {:g}", defaults::kRadialStd)});
    }
    const RadialPrior radial{given.k1.value_or(0.0),
                             given.k1_std.value_or(radial_std),
                             given.k2.value_or(0.0),
                             given.k2_std.value_or(radial_std),
                             given.k1_k2_correlation.value_or(0.0)};
    terms_.push_back({"lens distortion", OneBlock<2, kCameraSize>(radial), {camera_}});
    AddCameraPrior("lens distortion", kP1, given.p1.value_or(0.0), given.p1_std.value_or(tangential_std));
    AddCameraPrior("lens distortion", kP2, given.p2.value_or(0.0), given.p2_std.value_or(tangential_std));
  }

  void AddAngle(const char* name,
                int index,
                const std::optional<double>& angle_deg,
                const std::optional<double>& std_deg,
                double given_std_deg,
                const Measured& fallback) {
    const double expected_deg = angle_deg.value_or(fallback.value);
    const double used_std_deg = angle_deg ? std_deg.value_or(given_std_deg) : std_deg.value_or(fallback.std);
    if (!angle_deg) {
      assumed_->push_back({fmt::format("camera {}", name), fmt::format("{:g} ± {:g}°", expected_deg, used_std_deg)});
    }
    AddCameraPrior(name, index, RadFromDeg(expected_deg), RadFromDeg(used_std_deg));
  }

  void AddPose() {
    const CameraEvidence& given = survey_.camera;
    AddAngle("yaw", kYawRad, given.yaw_deg, given.yaw_std_deg, defaults::kGivenYawStdDeg, defaults::kYawDeg);
    AddAngle("tilt", kTiltRad, given.tilt_deg, given.tilt_std_deg, defaults::kGivenTiltStdDeg, defaults::kTiltDeg);
    AddAngle("roll", kRollRad, given.roll_deg, given.roll_std_deg, defaults::kGivenRollStdDeg, defaults::kRollDeg);
    if (!given.distance_m) return;
    const double std_m = given.distance_std_m.value_or(defaults::kGivenDistanceRelativeStd * *given.distance_m);
    terms_.push_back({"camera distance",
                      TwoBlocks<1, kCameraSize, 1>(DistancePrior{*given.distance_m, std_m}),
                      {camera_, length_ratio_}});
  }

  template <int kBlock>
  void AddEnds(double* ends, int depth, const Eigen::Vector2d& from_px, const Eigen::Vector2d& to_px, double std_px) {
    const Eigen::Vector2d principal_px = start_.principal_px();
    terms_.push_back({"mark placing",
                      TwoBlocks<2, kCameraSize, kBlock>(MarkError{principal_px, from_px, std_px, 0, depth}),
                      {camera_, ends}});
    terms_.push_back({"mark placing",
                      TwoBlocks<2, kCameraSize, kBlock>(MarkError{principal_px, to_px, std_px, 2, depth}),
                      {camera_, ends}});
  }

  void AddMark(const BaselineMark& mark) {
    const double depth_m = mark.depth_offset_m.value_or(defaults::kDepthOffsetM.value);
    const Eigen::Vector2d from_m = start_.PlaneFromPx(mark.from_px, depth_m);
    const Eigen::Vector2d to_m = start_.PlaneFromPx(mark.to_px, depth_m);
    double* ends =
        unknowns_->baselines.emplace_back(std::array{from_m.x(), from_m.y(), to_m.x(), to_m.y(), depth_m}).data();
    AddEnds<5>(ends, 4, mark.from_px, mark.to_px, mark.mark_std_px.value_or(defaults::kMarkStdPx));

    const double length_std_m = Given(mark.length_std_m,
                                      defaults::kLengthRelativeStd * mark.length_m,
                                      "baseline length uncertainty",
                                      fmt::format("{:g} % of the length", 100 * defaults::kLengthRelativeStd));
    terms_.push_back(
        {"baseline length", TwoBlocks<1, 5, 1>(LengthError{mark.length_m, length_std_m}), {ends, length_ratio_}});
    const double depth_std_m =
        Given(mark.depth_offset_std_m,
              defaults::kDepthOffsetM.std,
              "baseline depth uncertainty",
              fmt::format("{:g} m towards or away from the camera", defaults::kDepthOffsetM.std));
    terms_.push_back({"baseline depth", OneBlock<1, 5>(Prior{4, depth_m, depth_std_m}), {ends}});
    if (mark.lies == Lies::kFree) return;
    terms_.push_back({"level and plumb",
                      OneBlock<1, 5>(DirectionError{mark.lies == Lies::kPlumb, defaults::kDirectionStdRad}),
                      {ends}});
  }

  // A plumb (or level) line parallel to the flight plane is seen plumb (or level) in it at any depth, so depth 0
  // serves.
  void AddMark(const LineMark& mark) {
    if (mark.lies == Lies::kFree) return;
    const Eigen::Vector2d from_m = start_.PlaneFromPx(mark.from_px), to_m = start_.PlaneFromPx(mark.to_px);
    double* ends = unknowns_->lines.emplace_back(std::array{from_m.x(), from_m.y(), to_m.x(), to_m.y()}).data();
    AddEnds<4>(ends, -1, mark.from_px, mark.to_px, mark.mark_std_px.value_or(defaults::kMarkStdPx));
    terms_.push_back({"level and plumb",
                      OneBlock<1, 4>(DirectionError{mark.lies == Lies::kPlumb, defaults::kDirectionStdRad}),
                      {ends}});
  }

  void AddMark(const PointMark& mark) {
    const double metre_px = start_.parameters[kFocalPx] / start_.parameters[kDistanceM];
    const double std_px = std::hypot(mark.mark_std_px.value_or(defaults::kMarkStdPx), defaults::kPointStdM * metre_px);
    AddKnownPoint("known points", mark.px, mark.at_m, std_px, false);
  }

  void AddOrigin() {
    const bool points = std::any_of(survey_.marks.begin(), survey_.marks.end(), [](const Mark& mark) {
      return std::holds_alternative<PointMark>(mark);
    });
    if (!survey_.launch.px && points) return;
    AddKnownPoint("launch mark", OriginPx(survey_), Eigen::Vector2d::Zero(), LaunchMarkStdPx(), true);
  }

  // Who places the other marks so well places this one so.
  double LaunchMarkStdPx() const {
    double std_px = 0.0;
    for (const Mark& mark : survey_.marks) {
      std_px = std::max(std_px, std::visit([](const auto& each) { return each.mark_std_px.value_or(0.0); }, mark));
    }
    return std_px > 0.0 ? std_px : defaults::kLaunchMarkStdPx;
  }

  void AddKnownPoint(
      const char* source, const Eigen::Vector2d& px, const Eigen::Vector2d& at_m, double std_px, bool robust) {
    terms_.push_back({source,
                      TwoBlocks<2, kCameraSize, 1>(KnownPointError{start_.principal_px(), px, at_m, std_px}),
                      {camera_, length_ratio_},
                      robust});
  }

  const Survey& survey_;
  double* camera_;
  double* length_ratio_;
  SurveyUnknowns* unknowns_;
  std::vector<Assumed>* assumed_;
  Camera start_;
  std::vector<SurveyTerm> terms_;
};

}  // namespace

std::vector<SurveyTerm> MakeSurveyTerms(const Survey& survey,
                                        double* camera,
                                        double* length_ratio,
                                        SurveyUnknowns* unknowns,
                                        std::vector<Assumed>* assumed) {
  return TermMaker(survey, camera, length_ratio, unknowns, assumed).Make();
}

}  // namespace loftline
