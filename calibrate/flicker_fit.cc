// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/flicker_fit.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <Eigen/Cholesky>
#include <Eigen/LU>

namespace loftline {
namespace {

constexpr double kTwoPi = 2.0 * std::numbers::pi;
constexpr double kBandStep = 0.05;            // of the search, in bands across the picture
constexpr double kPhaseStep = 0.15;           // of the search, in turns over the clip
constexpr double kWanderStd_hz_per_s = 0.01;  // of the mains' frequency within a clip
constexpr double kSlopeStd = 1.0;             // of the depth, from end to end, as a share
constexpr int kHarmonics = 3;
constexpr int kMostStretches = 40;
constexpr int kLeastFramesInStretch = 3;

// Takes each row's mean and each frame's mean out.
void TakeMeansOut(Eigen::MatrixXd* values) {
  values->colwise() -= values->rowwise().mean().eval();
  values->rowwise() -= values->colwise().mean().eval();
}

struct Waves {
  Eigen::VectorXd cosine, sine;  // their mean taken out
};

Waves WavesOf(const Eigen::VectorXd& phase_rad) {
  Waves waves{phase_rad.array().cos(), phase_rad.array().sin()};
  waves.cosine.array() -= waves.cosine.mean();
  waves.sine.array() -= waves.sine.mean();
  return waves;
}

// Unknowns of the refined fit; the lamp's harmonics (cosine, sine) follow.
enum {
  kReadout,
  kFrequency,
  kDriftSquare,
  kDriftCube,
  kSlope,
  kFirstHarmonic,
  kFlickerSize = kFirstHarmonic + 2 * kHarmonics
};
using FlickerVector = Eigen::Matrix<double, kFlickerSize, 1>;
using FlickerMatrix = Eigen::Matrix<double, kFlickerSize, kFlickerSize>;

class FlickerModel {
 public:
  FlickerModel(const FlickerData& data, const Measured& known_hz) : data_(data), known_hz_(known_hz) {
    half_s_ = std::max(1e-6, data.time_s.cwiseAbs().maxCoeff());
  }

  FlickerVector Start(const FlickerPeak& peak) const;
  // The misfit of all rows and frames, means taken out, with its slope in every unknown.
  void Linearise(const FlickerVector& at, Eigen::MatrixXd* residual, std::vector<Eigen::MatrixXd>* slopes) const;
  void AddKnown(const FlickerVector& at, double noise, FlickerMatrix* normal, FlickerVector* gradient) const;

 private:
  const FlickerData& data_;
  Measured known_hz_;
  double half_s_;
};

FlickerVector FlickerModel::Start(const FlickerPeak& peak) const {
  FlickerVector start = FlickerVector::Zero();
  start[kReadout] = peak.readout_s;
  start[kFrequency] = peak.flicker_hz;
  const Waves in_time = WavesOf(kTwoPi * peak.flicker_hz * data_.time_s);
  const Waves in_rows = WavesOf(kTwoPi * peak.flicker_hz * peak.readout_s * data_.place);
  const Eigen::MatrixXd cosine = in_rows.cosine * in_time.cosine.transpose() - in_rows.sine * in_time.sine.transpose();
  const Eigen::MatrixXd sine = in_rows.sine * in_time.cosine.transpose() + in_rows.cosine * in_time.sine.transpose();
  Eigen::Matrix2d normal;
  normal << cosine.squaredNorm(), cosine.cwiseProduct(sine).sum(), cosine.cwiseProduct(sine).sum(), sine.squaredNorm();
  const Eigen::Vector2d seen(cosine.cwiseProduct(data_.logs).sum(), sine.cwiseProduct(data_.logs).sum());
  start.segment<2>(kFirstHarmonic) = normal.ldlt().solve(seen);
  return start;
}

void FlickerModel::Linearise(const FlickerVector& at,
                             Eigen::MatrixXd* residual,
                             std::vector<Eigen::MatrixXd>* slopes) const {
  const Eigen::Index bands = data_.place.size(), frames = data_.time_s.size();
  slopes->assign(kFlickerSize, Eigen::MatrixXd(bands, frames));
  residual->resize(bands, frames);
  for (Eigen::Index i = 0; i < frames; ++i) {
    const double late = data_.time_s[i] / half_s_;
    const double drift_rad = at[kDriftSquare] * late * late + at[kDriftCube] * late * late * late;
    for (Eigen::Index row = 0; row < bands; ++row) {
      const double at_s = data_.time_s[i] + at[kReadout] * data_.place[row];
      const double phase_rad = kTwoPi * at[kFrequency] * at_s + drift_rad;
      const double from_middle = data_.place[row] - 0.5, depth = 1.0 + at[kSlope] * from_middle;
      double wave = 0.0, by_phase = 0.0;
      for (int h = 1; h <= kHarmonics; ++h) {
        const int first = kFirstHarmonic + 2 * (h - 1);
        const double cosine = std::cos(h * phase_rad), sine = std::sin(h * phase_rad);
        wave += at[first] * cosine + at[first + 1] * sine;
        by_phase += h * (at[first + 1] * cosine - at[first] * sine);
        (*slopes)[static_cast<std::size_t>(first)](row, i) = depth * cosine;
        (*slopes)[static_cast<std::size_t>(first) + 1](row, i) = depth * sine;
      }
      by_phase *= depth;
      (*residual)(row, i) = data_.logs(row, i) - depth * wave;
      (*slopes)[kReadout](row, i) = by_phase * kTwoPi * at[kFrequency] * data_.place[row];
      (*slopes)[kFrequency](row, i) = by_phase * kTwoPi * at_s;
      (*slopes)[kDriftSquare](row, i) = by_phase * late * late;
      (*slopes)[kDriftCube](row, i) = by_phase * late * late * late;
      (*slopes)[kSlope](row, i) = wave * from_middle;
    }
  }
  TakeMeansOut(residual);
  for (Eigen::MatrixXd& slope : *slopes) TakeMeansOut(&slope);
}

void FlickerModel::AddKnown(const FlickerVector& at,
                            double noise,
                            FlickerMatrix* normal,
                            FlickerVector* gradient) const {
  const auto add = [&](int index, double expected, double std) {
    const double weight = noise * noise / (std * std);
    (*normal)(index, index) += weight;
    (*gradient)[index] += weight * (expected - at[index]);
  };
  add(kFrequency, known_hz_.value, known_hz_.std);
  const double drift_std_rad = std::numbers::pi * kWanderStd_hz_per_s * half_s_ * half_s_;
  add(kDriftSquare, 0.0, drift_std_rad);
  add(kDriftCube, 0.0, drift_std_rad);
  add(kSlope, 0.0, kSlopeStd);
}

// What a stretch of frames says: how far the unknowns should move, and how sure that is.
void Accumulate(const Eigen::MatrixXd& residual,
                const std::vector<Eigen::MatrixXd>& slopes,
                Eigen::Index first,
                Eigen::Index count,
                FlickerMatrix* normal,
                FlickerVector* gradient) {
  const auto part = [&](const Eigen::MatrixXd& all) { return all.middleCols(first, count); };
  for (int i = 0; i < kFlickerSize; ++i) {
    const auto& slope = slopes[static_cast<std::size_t>(i)];
    (*gradient)[i] += part(slope).cwiseProduct(part(residual)).sum();
    if (normal == nullptr) continue;
    for (int j = 0; j <= i; ++j) {
      const double product = part(slope).cwiseProduct(part(slopes[static_cast<std::size_t>(j)])).sum();
      (*normal)(i, j) += product;
      if (i != j) (*normal)(j, i) += product;
    }
  }
}

// The inverse of a positive definite matrix whose rows differ in unit; nothing where it has none.
std::optional<FlickerMatrix> Inverse(const FlickerMatrix& normal) {
  const FlickerVector scale = normal.diagonal().cwiseMax(1e-300).cwiseSqrt().cwiseInverse();
  const FlickerMatrix scaled = scale.asDiagonal() * normal * scale.asDiagonal();
  const Eigen::LLT<FlickerMatrix> solver(scaled);
  if (solver.info() != Eigen::Success) return std::nullopt;
  const FlickerMatrix inverse = scale.asDiagonal() * solver.solve(FlickerMatrix::Identity()) * scale.asDiagonal();
  if (!inverse.allFinite()) return std::nullopt;
  return inverse;
}

// Half-width of a 95 % interval with so many degrees of freedom over that of the normal distribution, within 1 % from
// five degrees up.
double StudentOverNormal(double dof) {
  return 1.0 + (2.37 / dof + 2.8 / (dof * dof)) / 1.96;
}

}  // namespace

FlickerSearch::FlickerSearch(FlickerData data) : data_(std::move(data)) {
  TakeMeansOut(&data_.logs);
  total_ = data_.logs.squaredNorm();
}

FlickerPeak FlickerSearch::Best(double flicker_hz,
                                double search_share,
                                double least_readout_s,
                                double most_readout_s) const {
  const double span_s = std::max(1e-3, data_.time_s.maxCoeff() - data_.time_s.minCoeff());
  const double reach_hz = search_share * flicker_hz;
  const int steps = std::max(1, static_cast<int>(std::ceil(reach_hz * span_s / kPhaseStep)));
  const double readout_step_s = kBandStep / flicker_hz;
  FlickerPeak best;
  for (int i = -steps; i <= steps; ++i) {
    const double at_hz = flicker_hz + reach_hz * i / steps;
    const Waves in_time = WavesOf(kTwoPi * at_hz * data_.time_s);
    const Eigen::VectorXd by_cosine = data_.logs * in_time.cosine, by_sine = data_.logs * in_time.sine;
    const double cc = in_time.cosine.squaredNorm(), ss = in_time.sine.squaredNorm();
    const double cs = in_time.cosine.dot(in_time.sine);
    for (int step = 0; least_readout_s + step * readout_step_s <= most_readout_s; ++step) {
      const double readout_s = least_readout_s + step * readout_step_s;
      const Waves in_rows = WavesOf(kTwoPi * at_hz * readout_s * data_.place);
      const double rcc = in_rows.cosine.squaredNorm(), rss = in_rows.sine.squaredNorm();
      const double rcs = in_rows.cosine.dot(in_rows.sine);
      // cos(a + b) = cos a cos b - sin a sin b, and sin(a + b); means taken out of either factor.
      Eigen::Matrix2d normal;
      normal(0, 0) = cc * rcc - 2 * cs * rcs + ss * rss;
      normal(1, 1) = cc * rss + 2 * cs * rcs + ss * rcc;
      normal(0, 1) = normal(1, 0) = cc * rcs + cs * rcc - cs * rss - ss * rcs;
      const Eigen::Vector2d seen(in_rows.cosine.dot(by_cosine) - in_rows.sine.dot(by_sine),
                                 in_rows.sine.dot(by_cosine) + in_rows.cosine.dot(by_sine));
      if (!(normal.determinant() > 1e-9 * normal(0, 0) * normal(1, 1))) continue;
      const double explained = seen.dot(normal.inverse() * seen);
      if (explained > best.explained) best = {at_hz, readout_s, explained};
    }
  }
  return best;
}

std::optional<FlickerFit> RefineFlicker(const FlickerData& data, const FlickerPeak& peak, const Measured& known_hz) {
  const FlickerModel model(data, known_hz);
  FlickerVector at = model.Start(peak);
  Eigen::MatrixXd residual;
  std::vector<Eigen::MatrixXd> slopes;
  const Eigen::Index frames = data.time_s.size();
  double noise = 0.0;
  FlickerMatrix normal;
  for (int round = 0; round < 15; ++round) {
    model.Linearise(at, &residual, &slopes);
    noise = std::sqrt(residual.squaredNorm() / static_cast<double>(residual.size()));
    normal.setZero();
    FlickerVector gradient = FlickerVector::Zero();
    Accumulate(residual, slopes, 0, frames, &normal, &gradient);
    model.AddKnown(at, noise, &normal, &gradient);
    const std::optional<FlickerMatrix> inverse = Inverse(normal);
    if (!inverse) return std::nullopt;
    const FlickerVector step = *inverse * gradient;
    at += step;
    if (!at.allFinite() || std::abs(at[kReadout] - peak.readout_s) > 0.5 / peak.flicker_hz) return std::nullopt;
    if (std::abs(step[kReadout]) < 1e-9 && std::abs(step[kFrequency]) < 1e-7) break;
  }

  model.Linearise(at, &residual, &slopes);
  normal.setZero();
  FlickerVector unused = FlickerVector::Zero();
  Accumulate(residual, slopes, 0, frames, &normal, &unused);
  model.AddKnown(at, noise, &normal, &unused);
  const std::optional<FlickerMatrix> inverse = Inverse(normal);
  if (!inverse) return std::nullopt;
  const Eigen::Index stretches = std::clamp<Eigen::Index>(frames / kLeastFramesInStretch, 1, kMostStretches);
  if (stretches <= kFlickerSize + 1) return std::nullopt;
  FlickerMatrix scatter = FlickerMatrix::Zero();
  for (Eigen::Index i = 0; i < stretches; ++i) {
    const Eigen::Index first = i * frames / stretches, last = (i + 1) * frames / stretches;
    FlickerVector score = FlickerVector::Zero();
    Accumulate(residual, slopes, first, last - first, nullptr, &score);
    scatter += score * score.transpose();
  }
  const double freedom = static_cast<double>(stretches - kFlickerSize);
  // What is known beforehand counts as if it had been measured with the rows' own noise.
  FlickerMatrix known = FlickerMatrix::Zero();
  model.AddKnown(at, noise, &known, &unused);
  scatter = scatter * (static_cast<double>(stretches) / freedom) + known * (noise * noise);
  const FlickerMatrix covariance = *inverse * scatter * *inverse;
  const double student = StudentOverNormal(freedom);
  FlickerFit fit;
  fit.readout_s = {at[kReadout], student * std::sqrt(covariance(kReadout, kReadout))};
  fit.flicker_hz = {at[kFrequency], student * std::sqrt(covariance(kFrequency, kFrequency))};
  fit.depth = at.segment<2>(kFirstHarmonic).norm();
  fit.residual = residual.squaredNorm();
  return fit;
}

}  // namespace loftline
