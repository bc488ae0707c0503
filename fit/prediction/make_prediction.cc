// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/prediction/make_prediction.h"

#include "core/uncertainty.h"
#include "fit/impossible_launch.h"
#include "fit/prediction/controlled_flight.h"
#include "fit/prediction/predicted_outputs.h"
#include "fit/prediction/prediction_findings.h"
#include "fit/prediction/prediction_model.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr double kMostRows = 100000.0;
constexpr double kCoverage = 0.95;
// What is less comes from rounding: a share of a budget, and a standard uncertainty, of its value or as it is.
constexpr double kRoundingShare = 1e-12, kRounding = 1e-10;

// Names the option that it hangs on.
Error NeverComesDown(const PredictedLaunch& launch) {
  Error error = NeverLands(launch);
  error.key = launch.angle_deg <= 0.0 && launch.height_above_landing_m >= 0.0 ? "--angle" : "--height-above-landing";
  return error;
}

// With all inputs at their estimates: what MakePrediction refuses, and when the flight lands.
Expected<double> LandingTimeS(const FlightSetup& setup, const Eigen::VectorXd& x, const PredictionModel& model) {
  const PredictedLaunch launch{x[model.speed],
                               x[model.angle],
                               DragAtLaunchPerM(setup),
                               setup.forces.gravity_m_per_s2,
                               setup.forces.wind_x_m_per_s,
                               setup.height_above_landing_m};
  if (std::optional<Error> error = WhatIsImpossible(launch)) return *error;
  const FlightLandmarks landmarks = FindLandmarks(setup.forces, setup.start, setup.height_above_landing_m);
  if (!landmarks.landing) return NeverComesDown(launch);
  return landmarks.landing->time_s;
}

// Evenly from the launch, the last at the landing.
Expected<std::vector<double>> RowTimesS(double landing_s, double step_s) {
  if (landing_s / step_s > kMostRows) {
    return Error{ErrorKind::kInvalidInput,
                 "bad-value",
                 fmt::format("With a row every {:g} s the flight of {:.3g} s has {:.0f} of them.",
                             step_s,
                             landing_s,
                             landing_s / step_s),
                 fmt::format("Give a longer step: at most {:.0f} rows are written.", kMostRows),
                 "",
                 0,
                 "--step"};
  }
  std::vector<double> times_s;
  for (int i = 0; i * step_s < landing_s - 1e-6 * step_s; ++i) times_s.push_back(i * step_s);
  times_s.push_back(landing_s);
  return times_s;
}

class PredictionMaker {
 public:
  PredictionMaker(const PredictionModel& model, const std::vector<double>& times_s) : model_(model), times_s_(times_s) {
    PropagationOptions options;
    options.covariance = false;  // of thousands of rows it would not fit into the memory
    propagated_ = Propagate([&](const Eigen::VectorXd& x) { return PredictedOutputs(model.SetupOf(x), times_s); },
                            model.uncertain,
                            options);
    const Eigen::VectorXd estimates = model.Estimates();
    Eigen::VectorXd stds(estimates.size());
    for (Eigen::Index i = 0; i < stds.size(); ++i) stds[i] = model.uncertain[static_cast<std::size_t>(i)].std;
    covariance_ = model.correlations.size() > 0
                      ? Eigen::MatrixXd(stds.asDiagonal() * model.correlations * stds.asDiagonal())
                      : Eigen::MatrixXd(stds.cwiseAbs2().asDiagonal());
  }

  // So near the highest landing level that a thousandth of an uncertainty decides.
  bool Finite() const {
    return propagated_.sensitivities.row(kRange).allFinite() && propagated_.sensitivities.row(kFlightTime).allFinite();
  }

  void TakeQuantities(Prediction* prediction) const {
    for (Eigen::Index i = 0; i < kAirDensity; ++i) prediction->quantities.push_back(Quantity(i));
    prediction->air_density_kg_per_m3 = {propagated_.values[kAirDensity], Std(kAirDensity)};
  }

  void TakeRows(Prediction* prediction) const {
    for (std::size_t i = 0; i < times_s_.size(); ++i) {
      const Eigen::Index first = kPredictedOutputs + kOutputsOfRow * static_cast<Eigen::Index>(i);
      const auto values = propagated_.values.segment<kOutputsOfRow>(first);
      const auto sensitivities = propagated_.sensitivities.middleRows<kOutputsOfRow>(first);
      const Eigen::Matrix4d covariance = sensitivities * covariance_ * sensitivities.transpose();
      const Eigen::Vector4d stds = covariance.diagonal().unaryExpr(
          [](double variance) { return variance > kRounding * kRounding ? std::sqrt(variance) : 0.0; });
      const double stds_at = stds[0] * stds[1];
      prediction->rows.push_back({times_s_[i],
                                  values.head<2>(),
                                  values.tail<2>(),
                                  stds.head<2>(),
                                  stds.tail<2>(),
                                  stds_at > 0.0 ? std::clamp(covariance(0, 1) / stds_at, -1.0, 1.0) : 0.0});
    }
  }

  // Those that were given, and of the others those that matter to the flight.
  void TakeInputs(Prediction* prediction) const {
    for (std::size_t i = 0; i < model_.listed.size(); ++i) {
      const PredictionInput& input = model_.listed[i];
      const auto by_input = propagated_.sensitivities.col(static_cast<Eigen::Index>(i)).head(kAirDensity);
      const bool matters = (by_input.array().isFinite() && by_input.array() != 0.0).any();
      if (input.given == PredictionInput::Given::kGiven || matters) prediction->inputs.push_back(input);
    }
  }

 private:
  double Std(Eigen::Index output) const {
    const auto by_input = propagated_.sensitivities.row(output);
    const double std = std::sqrt(std::max(0.0, by_input.dot(by_input * covariance_)));
    return std < kRounding * std::max(1e-3, std::abs(propagated_.values[output])) ? 0.0 : std;
  }

  // Independent inputs each by itself, those of the measured launch as one.
  std::vector<BudgetLine> BudgetOf(Eigen::Index output) const {
    const auto by_input = propagated_.sensitivities.row(output);
    double launch_variance = 0.0;
    std::vector<Contribution> contributions;
    const std::vector<Contribution> all = Contributions(propagated_, model_.uncertain, output);
    for (std::size_t i = 0; i < all.size(); ++i) {
      const auto index = static_cast<Eigen::Index>(i);
      if (all[i].source != kMeasuredLaunch) {
        contributions.push_back(all[i]);
      } else {
        launch_variance += by_input[index] * by_input.dot(covariance_.col(index));
      }
    }
    contributions.push_back({kMeasuredLaunch, std::sqrt(std::max(0.0, launch_variance))});
    std::vector<BudgetLine> lines;
    for (const BudgetShare& share : BudgetShares(contributions)) {
      if (share.share > kRoundingShare) lines.push_back({share.source, share.std, share.share, ""});
    }
    return lines;
  }

  // A range is a distance whichever way it lies, and an angle that to the horizontal.
  static double AsDistanceAndSlope(Eigen::Index output, double value) {
    if (output == kRange) return std::abs(value);
    return output == kImpactAngle && value > 90.0 ? 180.0 - value : value;
  }

  PredictedQuantity Quantity(Eigen::Index output) const {
    const OutputName& name = kOutputNames[output];
    PredictedQuantity quantity{name.key, name.label, name.unit, std::nullopt, {}};
    const double value = AsDistanceAndSlope(output, propagated_.values[output]), std = Std(output);
    if (!std::isfinite(value) || !std::isfinite(std)) return quantity;
    const double half = CoverageFactor(kKnownDof, kCoverage) * std;
    const bool lognormal = name.lognormal && value > 0.0;
    quantity.estimate = lognormal
                            ? Estimate{value, std, value * std::exp(-half / value), value * std::exp(half / value)}
                            : Estimate{value, std, value - half, value + half};
    if (std > 0.0) quantity.budget = BudgetOf(output);
    return quantity;
  }

  const PredictionModel& model_;
  const std::vector<double>& times_s_;
  Propagated propagated_;
  Eigen::MatrixXd covariance_;  // of the inputs
};

}  // namespace

const PredictedQuantity& Prediction::Quantity(std::string_view key) const {
  const auto found =
      std::ranges::find_if(quantities, [&](const PredictedQuantity& quantity) { return quantity.key == key; });
  if (found == quantities.end()) throw std::invalid_argument("no such quantity: " + std::string(key));
  return *found;
}

Expected<Prediction> MakePrediction(const PredictionRequest& request) {
  if (request.from != nullptr && request.from->verdict == Verdict::kRefused) {
    return Error{ErrorKind::kRefused,
                 "nothing-measured",
                 "The flight to start from was refused: it holds no launch.",
                 "Read its findings, and give a flight that was measured.",
                 request.from_file};
  }
  const Expected<PredictionModel> model = MakePredictionModel(request);
  if (!model) return model.error();
  const Eigen::VectorXd estimates = model->Estimates();
  const FlightSetup setup = model->SetupOf(estimates);
  const Expected<double> landing_s = LandingTimeS(setup, estimates, *model);
  if (!landing_s) return landing_s.error();
  const Expected<std::vector<double>> times_s = RowTimesS(*landing_s, request.step_s);
  if (!times_s) return times_s.error();
  const PredictionMaker maker(*model, *times_s);
  if (!maker.Finite()) {
    return NeverComesDown({estimates[model->speed],
                           estimates[model->angle],
                           0.0,
                           setup.forces.gravity_m_per_s2,
                           0.0,
                           setup.height_above_landing_m});
  }
  Prediction prediction;
  prediction.drag_source = model->drag_source;
  prediction.drag_table = model->drag_table;
  prediction.from_file = request.from_file;
  if (request.from != nullptr) prediction.from_clip = request.from->clip.file.filename().string();
  prediction.air_viscosity_pa_s = setup.air_viscosity_pa_s;
  prediction.gravity_m_per_s2 = setup.forces.gravity_m_per_s2;
  prediction.height_above_landing_m = setup.height_above_landing_m;
  maker.TakeInputs(&prediction);
  maker.TakeQuantities(&prediction);
  maker.TakeRows(&prediction);
  // Exactly, which the steps are to 1e-11; and zero without a sign.
  prediction.rows.back().at_m.y() = 0.0 - setup.height_above_landing_m;
  prediction.findings = PredictionFindings(setup, *model, request.from, prediction.rows);
  return prediction;
}

}  // namespace loftline
