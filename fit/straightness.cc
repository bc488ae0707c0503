// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/straightness.h"

#include "fit/axis_sights.h"
#include "fit/damped_oscillation.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

#include <Eigen/LU>
#include <fmt/format.h>

namespace loftline {
namespace {

constexpr double kPi = std::numbers::pi;
constexpr double kNormal95 = 1.959963984540054;
constexpr double kShortestBodyPx = 10.0;
constexpr std::size_t kFewestFrames = 12;
constexpr double kMostScatterRad = 0.35;  // of neighbouring axes; more is no body with an axis
constexpr int kFramesTurned = 3;          // beyond a right angle, before we say so
// Light, shade and uneven fins make one side of a body show better than the other, along all its length or at one end:
// so far may tail or nose be pulled, and farther where single frames scatter more. Measured on rendered clips of bodies
// 13 to 33 px long, not derived.
constexpr double kAskewPx = 0.06, kAskewShareOfNoise = 0.25;
// Where part of a body hardly shows, its angle may come out smaller or larger than it is: on ten rendered clips whose
// true angle was 2 degrees or more, the slope of measured over true angles scattered by this much (1.48 times the
// median of its distance from 1). On eleven others, not looked at before, the distance was 0.11 (RMS).
constexpr double kScaleStd = 0.13;
// Axes are worst just after the tube, where a fast wobble has most of its size: on the same clips, amplitude and decay
// were off by this share of themselves.
constexpr double kWobbleShareStd = 0.4;
constexpr double kGustsMPerS = 1.0;  // wind along the flight may differ from the survey's by so much

double Median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

Estimate Normal(double value, double std) {
  return {value, std, value - kNormal95 * std, value + kNormal95 * std};
}

// Body and streak together are length = body (m) * px/m + exposure * px/s. The rocket slows down along its path, so
// that the two can be told apart; where it does not, nothing is taken for streak but what makes the lengths fit better.
std::vector<double> BodyLengthsPx(const std::vector<AxisSight>& sights) {
  Eigen::Matrix2d normal = Eigen::Matrix2d::Zero();
  Eigen::Vector2d right = Eigen::Vector2d::Zero();
  std::vector<double> lengths_m;
  lengths_m.reserve(sights.size());
  for (const AxisSight& sight : sights)
    lengths_m.push_back(sight.length_px * sight.speed_m_per_s / sight.speed_px_per_s);
  const double usual_m = Median(lengths_m);
  for (std::size_t i = 0; i < sights.size(); ++i) {
    if (std::abs(lengths_m[i] / usual_m - 1.0) > 0.5) continue;  // a wrong length, or a long streak
    const Eigen::Vector2d row(1.0, sights[i].speed_m_per_s);
    normal += row * row.transpose();
    right += row * lengths_m[i];
  }
  double exposure_s = 0.0;
  if (normal.determinant() > 1e-6 * normal(0, 0) * normal(1, 1)) exposure_s = normal.inverse().row(1).dot(right);
  double step_s = 1.0;
  for (std::size_t i = 1; i < sights.size(); ++i) step_s = std::min(step_s, sights[i].time_s - sights[i - 1].time_s);
  exposure_s = std::clamp(exposure_s, 0.0, step_s);
  std::vector<double> lengths_px;
  lengths_px.reserve(sights.size());
  for (const AxisSight& sight : sights) lengths_px.push_back(sight.length_px - exposure_s * sight.speed_px_per_s);
  return lengths_px;
}

// Angles that go on from frame to frame. An axis is the same turned by half a turn, so that twice its angle is what is
// known; its mean over three frames keeps a single wrong axis from starting a turn.
std::vector<double> Unwrapped(const std::vector<AxisSight>& sights) {
  std::vector<double> angles_rad;
  double smooth_rad = 0.0;
  for (std::size_t i = 0; i < sights.size(); ++i) {
    std::complex<double> sum = 0.0;
    for (std::size_t j = i == 0 ? 0 : i - 1; j < std::min(sights.size(), i + 2); ++j) {
      sum += std::polar(1.0, 2.0 * sights[j].angle_rad);
    }
    const double near_rad = 0.5 * std::arg(sum);
    smooth_rad += std::remainder(near_rad - smooth_rad, kPi);
    angles_rad.push_back(smooth_rad + std::remainder(sights[i].angle_rad - smooth_rad, kPi));
  }
  return angles_rad;
}

double MedianOfThree(const std::vector<double>& values, std::size_t i) {
  const std::size_t first = std::min(i == 0 ? 0 : i - 1, values.size() - 3);
  return Median({values[first], values[first + 1], values[first + 2]});
}

// Scatter of one axis, by what three neighbours leave of a straight line.
double ScatterRad(const std::vector<double>& angles_rad) {
  std::vector<double> bends;
  for (std::size_t i = 2; i < angles_rad.size(); ++i) {
    bends.push_back(std::abs(angles_rad[i] - 2.0 * angles_rad[i - 1] + angles_rad[i - 2]));
  }
  return 1.4826 * Median(std::move(bends)) / std::sqrt(6.0);
}

void LookForTurns(const std::vector<double>& angles_rad, double scatter_rad, Straightness* straightness) {
  int beyond = 0;
  for (std::size_t i = 0; i < angles_rad.size(); ++i) {
    const double angle_rad = std::abs(MedianOfThree(angles_rad, i));
    straightness->turned_deg = std::max(straightness->turned_deg, DegFromRad(angle_rad));
    beyond = angle_rad > 0.5 * kPi + 2.0 * scatter_rad ? beyond + 1 : 0;
    if (beyond >= kFramesTurned) straightness->turned_over = true;
  }
}

std::vector<AngleSample> SamplesOf(const std::vector<AxisSight>& sights,
                                   const std::vector<double>& angles_rad,
                                   const std::vector<double>& lengths_px) {
  std::vector<AngleSample> samples;
  for (std::size_t i = 0; i < sights.size(); ++i) {
    // The ends' places are seen equally well wherever the body is, so that the angle's error goes with 1/length.
    samples.push_back({sights[i].time_s, angles_rad[i], 1.0 / lengths_px[i], sights[i].by_wind_rad_s_per_m});
  }
  return samples;
}

// The root of a mean square that noise may have pushed below zero, with STD_RAD2 of the mean square, widened by
// SLOW_STD_RAD of the root itself.
Estimate RootOf(double mean_square_rad2, double std_rad2, double slow_std_rad) {
  const double value = std::sqrt(std::max(0.0, mean_square_rad2));
  const double low = std::sqrt(std::max(0.0, mean_square_rad2 - kNormal95 * std_rad2));
  const double high = std::sqrt(std::max(0.0, mean_square_rad2) + kNormal95 * std_rad2);
  Estimate root;
  root.value = DegFromRad(value);
  root.low_95 = DegFromRad(std::max(0.0, value - std::hypot(value - low, kNormal95 * slow_std_rad)));
  root.high_95 = DegFromRad(value + std::hypot(high - value, kNormal95 * slow_std_rad));
  root.std = (root.high_95 - root.low_95) / (2.0 * kNormal95);
  return root;
}

void FillRms(const Oscillation& motion, double askew_rad, Straightness* straightness) {
  const double rms_rad = std::sqrt(std::max(0.0, motion.mean_square_rad2));
  straightness->rms_angle_deg = RootOf(motion.mean_square_rad2,
                                       std::hypot(motion.mean_square_std_rad2, motion.slow_rad2),
                                       std::hypot(askew_rad, kScaleStd * rms_rad));
  const double offset_std_rad = std::hypot(std::sqrt(motion.covariance(kOffsetRad, kOffsetRad)), askew_rad);
  straightness->offset_deg = Normal(DegFromRad(motion.parameters[kOffsetRad]), DegFromRad(offset_std_rad));
}

void FillWobble(const Oscillation& motion, double askew_rad, Straightness* straightness) {
  if (!motion.wobbles || motion.AmplitudeRad() < askew_rad) {
    straightness->reason = "No steady wobble stands out of the noise of the axes.";
    return;
  }
  const auto std_of = [&](int i) { return std::sqrt(motion.covariance(i, i)); };
  straightness->wobble_hz = Normal(motion.parameters[kHz], std_of(kHz));
  const double decay_per_s = motion.parameters[kDecayPerS];
  straightness->wobble_decay_per_s = Normal(decay_per_s, std::hypot(std_of(kDecayPerS), kWobbleShareStd * decay_per_s));
  const double amplitude_std_rad =
      std::hypot(motion.AmplitudeStdRad(), askew_rad, kWobbleShareStd * motion.AmplitudeRad());
  straightness->wobble_amplitude_deg = Normal(DegFromRad(motion.AmplitudeRad()), DegFromRad(amplitude_std_rad));
  straightness->wobble_amplitude_deg->low_95 = std::max(0.0, straightness->wobble_amplitude_deg->low_95);
}

void FillAngles(const std::vector<AxisSight>& sights,
                const std::vector<AngleSample>& samples,
                double noise_scale,
                Straightness* straightness) {
  for (std::size_t i = 0; i < sights.size(); ++i) {
    BodyAngle angle;
    angle.frame = sights[i].frame;
    angle.time_s = sights[i].time_s;
    angle.path_deg = DegFromRad(sights[i].path_rad);
    angle.angle_deg = {DegFromRad(samples[i].angle_rad), DegFromRad(noise_scale * samples[i].std_rad)};
    angle.fitted_deg = angle.angle_deg.value;
    straightness->angles.push_back(angle);
  }
}

// Keeps the sights of a body that is long enough; false, with the reason, where too few are left.
bool KeepLongOnes(std::vector<AxisSight>* sights, std::vector<double>* lengths_px, Straightness* straightness) {
  if (sights->empty()) {
    straightness->reason = "The track gives no lengths of the body.";
    return false;
  }
  const std::vector<double> all_px = BodyLengthsPx(*sights);
  straightness->body_length_px = std::max(0.0, Median(all_px));
  std::vector<AxisSight> kept;
  for (std::size_t i = 0; i < sights->size(); ++i) {
    if (all_px[i] < kShortestBodyPx) continue;
    kept.push_back((*sights)[i]);
    lengths_px->push_back(all_px[i]);
  }
  *sights = std::move(kept);
  if (sights->size() >= kFewestFrames) {
    straightness->body_length_px = Median(*lengths_px);
    return true;
  }
  straightness->reason = fmt::format(
      "The body is at least {:.0f} pixels long on {} frames only, of {} needed; it is {:.0f} pixels long on most.",
      kShortestBodyPx,
      sights->size(),
      kFewestFrames,
      straightness->body_length_px);
  return false;
}

}  // namespace

Straightness MeasureStraightness(const std::vector<AxisSight>& all_sights, const Measured& wind_m_per_s) {
  Straightness straightness;
  std::vector<AxisSight> sights = all_sights;
  std::vector<double> lengths_px;
  if (!KeepLongOnes(&sights, &lengths_px, &straightness)) return straightness;
  const std::vector<double> angles_rad = Unwrapped(sights);
  const double scatter_rad = ScatterRad(angles_rad);
  straightness.noise_deg = DegFromRad(scatter_rad);
  if (scatter_rad > kMostScatterRad) {
    straightness.reason =
        fmt::format("The axis scatters by {:.0f} degrees from frame to frame.", straightness.noise_deg);
    return straightness;
  }
  const std::vector<AngleSample> samples = SamplesOf(sights, angles_rad, lengths_px);
  LookForTurns(angles_rad, scatter_rad, &straightness);
  if (straightness.turned_over) {
    straightness.reason = "The body turned over, so that its angle to the path is no wobble.";
    FillAngles(sights, samples, scatter_rad * straightness.body_length_px, &straightness);
    return straightness;
  }
  const Oscillation motion = FitOscillation(samples, {wind_m_per_s.value, std::hypot(wind_m_per_s.std, kGustsMPerS)});
  straightness.noise_deg = DegFromRad(motion.noise_scale / straightness.body_length_px);
  const double askew_rad = std::hypot(kAskewPx, kAskewShareOfNoise * motion.noise_scale) / straightness.body_length_px;
  FillRms(motion, askew_rad, &straightness);
  FillWobble(motion, askew_rad, &straightness);
  FillAngles(sights, samples, motion.noise_scale, &straightness);
  for (std::size_t i = 0; i < sights.size(); ++i) {
    straightness.angles[i].fitted_deg = DegFromRad(motion.fitted_rad[i]);
    straightness.angles[i].believed = motion.believed[i] != 0;
  }
  return straightness;
}

}  // namespace loftline
