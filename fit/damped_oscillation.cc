// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/damped_oscillation.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <numbers>

#include <Eigen/Dense>

namespace loftline {
namespace {

constexpr double kTwoPi = 2.0 * std::numbers::pi;
constexpr double kOutlierSigmas = 4.0;  // from what was fitted
// To begin with: from the median of five neighbours, which follows no fast wobble, and from that of all.
constexpr double kFarFromNear = 6.0, kFarFromAll = 8.0, kAlwaysNearRad = 0.4;
// Median size of a normal value minus the median of the five about it, where that is not the value itself, in std: by
// 400 000 random numbers.
constexpr double kMedianOffFive = 0.684;
constexpr double kHighestHz = 12.0;  // our own judgement: short, light rockets wobble at 2 to 8 Hz
// Encoders treat every third or fourth frame alike, and axes follow that.
constexpr double kHighestShareOfRate = 0.2;
// In the time seen: light and shade change slowly along the flight, some five times (noise_level.cc), and would look
// like a slower wobble.
constexpr double kFewestCycles = 3.0;
constexpr double kMostDecayPerCycle = 4.0;  // to 1/55 in one cycle: not told from a kick
// Chi-square that an oscillation must explain. Some 300 independent frequencies and decays are looked at, and noise
// alone explains more than 2 ln(300 / 0.01) = 21 in one case of a hundred.
constexpr double kLeastExplained = 25.0;
constexpr std::array<double, 7> kDecaysPerS{-1.0, 0.0, 1.0, 2.0, 3.5, 6.0, 10.0};

double Median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

double NormalMad(std::vector<double> off) {
  for (double& each : off) each = std::abs(each);
  return 1.4826 * Median(std::move(off));
}

std::vector<char> Within(const std::vector<double>& off, double most) {
  std::vector<char> within;
  within.reserve(off.size());
  for (const double each : off) within.push_back(std::abs(each) <= most ? 1 : 0);
  return within;
}

std::vector<char> BelievedAtFirst(const std::vector<AngleSample>& samples) {
  std::vector<double> angles_rad, from_near, from_all_rad;
  for (const AngleSample& sample : samples) angles_rad.push_back(sample.angle_rad);
  const double middle_rad = Median(angles_rad);
  for (std::size_t i = 0; i < samples.size(); ++i) {
    const std::size_t first = i < 2 ? 0 : i - 2, end = std::min(samples.size(), i + 3);
    const auto at = angles_rad.begin();
    const double near_rad = Median({at + static_cast<std::ptrdiff_t>(first), at + static_cast<std::ptrdiff_t>(end)});
    from_near.push_back((angles_rad[i] - near_rad) / samples[i].std_rad);
    from_all_rad.push_back(angles_rad[i] - middle_rad);
  }
  std::vector<double> sizes;
  for (const double each : from_near) {
    if (each != 0.0) sizes.push_back(std::abs(each));
  }
  const double scale = sizes.empty() ? 0.0 : Median(sizes) / kMedianOffFive;
  std::vector<char> believed = Within(from_near, kFarFromNear * scale);
  const std::vector<char> near_all =
      Within(from_all_rad, std::max(kAlwaysNearRad, kFarFromAll * NormalMad(from_all_rad)));
  for (std::size_t i = 0; i < believed.size(); ++i) believed[i] = believed[i] != 0 && near_all[i] != 0 ? 1 : 0;
  return believed;
}

double ModelAt(const OscillationVector& p, const AngleSample& sample, double t0_s) {
  const double t_s = sample.time_s - t0_s, phase = kTwoPi * p[kHz] * t_s;
  return p[kOffsetRad] + p[kWindMPerS] * sample.by_wind_rad_s_per_m +
         std::exp(-p[kDecayPerS] * t_s) * (p[kCosRad] * std::cos(phase) + p[kSinRad] * std::sin(phase));
}

OscillationVector GradientAt(const OscillationVector& p, const AngleSample& sample, double t0_s) {
  const double t_s = sample.time_s - t0_s, phase = kTwoPi * p[kHz] * t_s;
  const double size = std::exp(-p[kDecayPerS] * t_s), c = size * std::cos(phase), s = size * std::sin(phase);
  OscillationVector gradient;
  gradient << 1.0, sample.by_wind_rad_s_per_m, c, s, kTwoPi * t_s * (p[kSinRad] * c - p[kCosRad] * s),
      -t_s * (p[kCosRad] * c + p[kSinRad] * s);
  return gradient;
}

class Fit {
 public:
  Fit(const std::vector<AngleSample>& samples, const Measured& wind_m_per_s)
      : samples_(samples), wind_m_per_s_(wind_m_per_s), t0_s_(samples.front().time_s) {
    Believe(BelievedAtFirst(samples));
    OscillationVector start = OscillationVector::Zero();
    start[kWindMPerS] = wind_m_per_s.value;
    // The noise decides what the wind's prior weighs; it is known after the first pass.
    for (int pass = 0; pass < 3; ++pass) {
      start = Solve(start, kSteady);
      Noise(start, kSteady);
    }
    result_.parameters = start;
  }

  Oscillation Run() {
    OscillationVector steady = result_.parameters;
    OscillationVector best = steady;
    const bool any = SearchGrid(&best);
    for (int pass = 0; pass < 3; ++pass) {
      const int size = any ? static_cast<int>(kOscillationSize) : kSteady;
      best = Solve(best, size);
      BelieveNear(best);
      Noise(best, size);
    }
    steady = Solve(steady, kSteady);
    if (any) {
      const double steady_misfit = Misfit(steady);
      const double scale2 = result_.noise_scale * result_.noise_scale * ColourAt(best[kHz]);
      result_.wobbles = InRange(best) && (steady_misfit - Misfit(best)) / scale2 > kLeastExplained;
    }
    result_.parameters = result_.wobbles ? best : steady;
    Noise(result_.parameters, Size());
    FillCovariance();
    FillMeanSquare();
    return result_;
  }

 private:
  static constexpr int kSteady = 2;  // offset and wind

  void Believe(std::vector<char> believed) {
    result_.believed = std::move(believed);
    count_ = static_cast<double>(std::count(result_.believed.begin(), result_.believed.end(), 1));
  }
  void BelieveNear(const OscillationVector& p) {
    std::vector<double> residuals;
    for (std::size_t i = 0; i < samples_.size(); ++i) residuals.push_back(Residual(p, i));
    Believe(Within(residuals, kOutlierSigmas * NormalMad(residuals)));
  }

  int Size() const { return result_.wobbles ? static_cast<int>(kOscillationSize) : kSteady; }
  double DurationS() const { return samples_.back().time_s - t0_s_; }
  double StepS() const { return DurationS() / static_cast<double>(samples_.size() - 1); }

  // Sum of squares over std, at noise scale 1.
  double Misfit(const OscillationVector& p) const {
    double misfit = 0.0;
    for (std::size_t i = 0; i < samples_.size(); ++i) {
      if (result_.believed[i] != 0) misfit += std::pow(Residual(p, i), 2);
    }
    return misfit + std::pow(result_.noise_scale * (p[kWindMPerS] - wind_m_per_s_.value) / wind_m_per_s_.std, 2);
  }

  double Residual(const OscillationVector& p, std::size_t i) const {
    return (samples_[i].angle_rad - ModelAt(p, samples_[i], t0_s_)) / samples_[i].std_rad;
  }

  bool InRange(const OscillationVector& p) const {
    return p.allFinite() && p[kHz] * DurationS() >= kFewestCycles && p[kHz] <= HighestHz() &&
           p[kDecayPerS] < kMostDecayPerCycle * p[kHz];
  }
  double HighestHz() const { return std::min(kHighestHz, kHighestShareOfRate / StepS()); }

  // For given frequency and decay all else is linear: least squares over the believed samples and the wind's prior.
  bool SearchGrid(OscillationVector* best) const {
    double least = Misfit(*best);
    bool any = false;
    const Eigen::VectorXd times_s = OfBelieved([this](const AngleSample& sample) { return sample.time_s - t0_s_; });
    const Eigen::VectorXd weights = OfBelieved([](const AngleSample& sample) { return 1.0 / sample.std_rad; });
    const Eigen::VectorXd wanted = OfBelieved([](const AngleSample& each) { return each.angle_rad / each.std_rad; });
    const double prior = std::pow(result_.noise_scale / wind_m_per_s_.std, 2);
    Eigen::MatrixX4d rows(times_s.size() + 1, 4);
    Eigen::VectorXd right(times_s.size() + 1);
    rows.bottomRows<1>() << 0.0, std::sqrt(prior), 0.0, 0.0;
    right << wanted, std::sqrt(prior) * wind_m_per_s_.value;
    rows.col(0).head(times_s.size()) = weights;
    rows.col(1).head(times_s.size()) =
        OfBelieved([](const AngleSample& each) { return each.by_wind_rad_s_per_m / each.std_rad; });
    const double step_hz = 0.25 / DurationS();
    const double lowest_hz = kFewestCycles / DurationS();
    const int steps = static_cast<int>(std::max(0.0, HighestHz() - lowest_hz) / step_hz);
    std::vector<Eigen::VectorXd> sizes;
    sizes.reserve(kDecaysPerS.size());
    for (const double decay_per_s : kDecaysPerS) {
      sizes.emplace_back((-decay_per_s * times_s.array()).exp() * weights.array());
    }
    for (int step = 0; step <= steps; ++step) {
      OscillationVector trial = OscillationVector::Zero();
      trial[kHz] = lowest_hz + step * step_hz;
      const Eigen::ArrayXd phase = kTwoPi * trial[kHz] * times_s.array();
      const Eigen::ArrayXd cosine = phase.cos(), sine = phase.sin();
      for (std::size_t i = 0; i < sizes.size(); ++i) {
        trial[kDecayPerS] = kDecaysPerS.at(i);
        if (!InRange(trial)) continue;
        rows.col(2).head(times_s.size()) = sizes[i].array() * cosine;
        rows.col(3).head(times_s.size()) = sizes[i].array() * sine;
        const Eigen::Matrix4d normal = rows.transpose() * rows + 1e-12 * Eigen::Matrix4d::Identity();
        const Eigen::Vector4d moments = rows.transpose() * right;
        const Eigen::Vector4d solved = normal.ldlt().solve(moments);
        const double misfit = right.squaredNorm() - moments.dot(solved);
        if (!(misfit < least)) continue;
        least = misfit;
        *best = trial;
        best->head<4>() = solved;
        any = true;
      }
    }
    return any;
  }

  Eigen::VectorXd OfBelieved(const std::function<double(const AngleSample&)>& value) const {
    Eigen::VectorXd values(static_cast<Eigen::Index>(count_));
    Eigen::Index next = 0;
    for (std::size_t i = 0; i < samples_.size(); ++i) {
      if (result_.believed[i] != 0) values[next++] = value(samples_[i]);
    }
    return values;
  }

  // Sum of gradient outer products over std squared, prior included, over the first SIZE parameters.
  Eigen::MatrixXd Normal(const OscillationVector& p, int size, Eigen::VectorXd* right) const {
    Eigen::MatrixXd normal = Eigen::MatrixXd::Zero(size, size);
    *right = Eigen::VectorXd::Zero(size);
    const double prior = std::pow(result_.noise_scale / wind_m_per_s_.std, 2);
    normal(kWindMPerS, kWindMPerS) = prior;
    (*right)[kWindMPerS] = prior * (wind_m_per_s_.value - p[kWindMPerS]);
    for (std::size_t i = 0; i < samples_.size(); ++i) {
      if (result_.believed[i] == 0) continue;
      const Eigen::VectorXd row = GradientAt(p, samples_[i], t0_s_).head(size) / samples_[i].std_rad;
      normal += row * row.transpose();
      *right += row * Residual(p, i);
    }
    return normal;
  }

  // Levenberg and Marquardt's way down from START over the first SIZE parameters.
  OscillationVector Solve(const OscillationVector& start, int size) const {
    OscillationVector at = start;
    double misfit = Misfit(at), damping = 1e-3;
    for (int round = 0; round < 40; ++round) {
      Eigen::VectorXd right;
      Eigen::MatrixXd normal = Normal(at, size, &right);
      normal.diagonal() *= 1.0 + damping;
      OscillationVector next = at;
      next.head(size) += normal.ldlt().solve(right);
      const double next_misfit = next.allFinite() ? Misfit(next) : 1e300;
      if (next_misfit > misfit || std::isnan(next_misfit)) {
        damping *= 8.0;
        if (damping > 1e6) break;
        continue;
      }
      const bool settled = misfit - next_misfit < 1e-9 * misfit;
      at = next;
      misfit = next_misfit;
      damping = std::max(1e-9, 0.2 * damping);
      if (settled) break;
    }
    return at;
  }

  void Noise(const OscillationVector& p, int size) {
    double squares = 0.0, products = 0.0, pairs = 0.0, slow_rad2 = 0.0, slow_pairs = 0.0;
    for (std::size_t i = 0; i < samples_.size(); ++i) {
      if (result_.believed[i] == 0) continue;
      squares += std::pow(Residual(p, i), 2);
      for (std::size_t lag = 1; lag <= std::min<std::size_t>(8, i); ++lag) {
        if (result_.believed[i - lag] == 0 || (lag > 1 && lag < 4)) continue;
        const double product = Residual(p, i) * Residual(p, i - lag);
        (lag == 1 ? products : slow_rad2) +=
            lag == 1 ? product : product * samples_[i].std_rad * samples_[i - lag].std_rad;
        (lag == 1 ? pairs : slow_pairs) += 1.0;
      }
    }
    result_.noise_scale = std::sqrt(std::max(1e-16, squares / std::max(1.0, count_ - size)));
    const double variance = squares / std::max(1.0, count_);
    result_.neighbour_correlation =
        variance > 0.0 ? std::clamp(products / std::max(1.0, pairs) / variance, 0.0, 0.8) : 0.0;
    result_.slow_rad2 = std::max(0.0, slow_rad2 / std::max(1.0, slow_pairs));
  }

  // Power of the noise at a frequency over that of white noise of the same variance: a first-order autoregressive
  // process (G. E. P. Box & G. M. Jenkins, Time Series Analysis, 1970, section 3.2; from memory).
  double ColourAt(double hz) const {
    const double r = result_.neighbour_correlation;
    return (1.0 - r * r) / (1.0 + r * r - 2.0 * r * std::cos(kTwoPi * hz * StepS()));
  }

  void FillCovariance() {
    const int size = Size();
    Eigen::VectorXd right;
    const Eigen::MatrixXd normal = Normal(result_.parameters, size, &right);
    const Eigen::VectorXd scale = normal.diagonal().cwiseMax(1e-300).cwiseSqrt().cwiseInverse();
    const Eigen::MatrixXd scaled = scale.asDiagonal() * normal * scale.asDiagonal();
    Eigen::MatrixXd covariance =
        scale.asDiagonal() * scaled.ldlt().solve(Eigen::MatrixXd::Identity(size, size)) * scale.asDiagonal();
    // Each parameter feels the noise near its own frequency: offset and wind the slow one.
    Eigen::VectorXd colour = Eigen::VectorXd::Constant(size, std::sqrt(ColourAt(result_.parameters[kHz])));
    colour.head(kSteady).setConstant(std::sqrt(ColourAt(0.0)));
    colour *= result_.noise_scale;
    covariance = colour.asDiagonal() * covariance * colour.asDiagonal();
    result_.covariance.topLeftCorner(size, size) = covariance;
  }

  void FillMeanSquare() {
    double mean = 0.0;
    OscillationVector gradient = OscillationVector::Zero();
    for (std::size_t i = 0; i < samples_.size(); ++i) {
      const double fitted = ModelAt(result_.parameters, samples_[i], t0_s_);
      result_.fitted_rad.push_back(fitted);
      OscillationVector row = GradientAt(result_.parameters, samples_[i], t0_s_);
      const double variance = row.dot(result_.covariance * row);
      mean += (fitted * fitted - variance) / static_cast<double>(samples_.size());
      gradient += 2.0 * fitted * row / static_cast<double>(samples_.size());
    }
    result_.mean_square_rad2 = mean;
    result_.mean_square_std_rad2 = std::sqrt(gradient.dot(result_.covariance * gradient));
  }

  const std::vector<AngleSample>& samples_;
  const Measured wind_m_per_s_;
  const double t0_s_;
  double count_ = 0.0;
  Oscillation result_;
};

}  // namespace

double Oscillation::AmplitudeRad() const {
  return std::hypot(parameters[kCosRad], parameters[kSinRad]);
}

double Oscillation::AmplitudeStdRad() const {
  const Eigen::Vector2d at(parameters[kCosRad], parameters[kSinRad]);
  if (!(at.norm() > 0.0)) return 0.0;
  return std::sqrt(at.normalized().dot(covariance.block<2, 2>(kCosRad, kCosRad) * at.normalized()));
}

Oscillation FitOscillation(const std::vector<AngleSample>& samples, const Measured& wind_m_per_s) {
  return Fit(samples, wind_m_per_s).Run();
}

}  // namespace loftline
