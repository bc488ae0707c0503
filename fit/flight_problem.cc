// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/flight_problem.h"

#include "calibrate/linear_estimator.h"
#include "calibrate/quiet_solver.h"
#include "fit/path_nodes.h"

#include <Eigen/Cholesky>
#include <Eigen/LU>
#include <ceres/ceres.h>
#include <ceres/normal_prior.h>

namespace loftline {
namespace {

constexpr double kMarkLossSigmas = 3.0;  // a launch mark farther off than this counts less
constexpr double kHeldStd = 1e-9;        // of a parameter that must stay where it is

// (value - expected) / std of parameter INDEX of a block.
template <int kBlock>
ceres::CostFunction* PriorOn(int index, const Measured& prior) {
  Eigen::MatrixXd row = Eigen::MatrixXd::Zero(1, kBlock);
  row(0, index) = 1.0 / prior.std;
  Eigen::VectorXd middle = Eigen::VectorXd::Zero(kBlock);
  middle[index] = prior.value;
  return new ceres::NormalPrior(row, middle);
}

// A cost with its whitened residuals shifted by fixed amounts: what other measurements would have given.
class ShiftedCost : public ceres::CostFunction {
 public:
  ShiftedCost(ceres::CostFunction* inner, const double* shifts) : inner_(inner), shifts_(shifts) {
    set_num_residuals(inner->num_residuals());
    *mutable_parameter_block_sizes() = inner->parameter_block_sizes();
  }

  bool Evaluate(const double* const* blocks, double* residuals, double** jacobians) const override {
    if (!inner_->Evaluate(blocks, residuals, jacobians)) return false;
    for (int i = 0; i < num_residuals(); ++i) residuals[i] += shifts_[i];
    return true;
  }

 private:
  std::unique_ptr<ceres::CostFunction> inner_;
  const double* shifts_;
};

class Stopper : public ceres::IterationCallback {
 public:
  explicit Stopper(std::stop_token stop) : stop_(std::move(stop)) {}
  ceres::CallbackReturnType operator()(const ceres::IterationSummary& /*summary*/) override {
    return stop_.stop_requested() ? ceres::SOLVER_ABORT : ceres::SOLVER_CONTINUE;
  }

 private:
  std::stop_token stop_;
};

ceres::Problem::Options WithCallback(PathNodes* nodes) {
  ceres::Problem::Options options;
  options.evaluation_callback = nodes;
  return options;
}

// The problem lives as long as this object; FlightUnknowns and the marks' unknowns are solved in place.
class Adjustment {
 public:
  Adjustment(const std::vector<SeenPoint>& points,
             const Survey& survey,
             const FlightPriors& priors,
             const FlightUnknowns& start,
             const FlightProblemOptions& options)
      : points_(points),
        options_(options),
        conditions_(priors.conditions),
        unknowns_(start),
        nodes_(points, priors.conditions, &unknowns_),
        problem_(WithCallback(&nodes_)) {
    principal_px_ = {(survey.width_px - 1) / 2.0, (survey.height_px - 1) / 2.0};
    AddPoints();
    AddPriors(priors);
    AddSurvey(survey);
    if (!options.free_length_ratio) problem_.SetParameterBlockConstant(&unknowns_.length_ratio);
  }

  FlightSolution Solve(const RunControl& control) {
    QuietSolver();
    const FlightUnknowns start = unknowns_;
    const SurveyUnknowns start_marks = marks_;
    ceres::Solver::Summary summary = Minimize(true, control);
    if (summary.termination_type != ceres::CONVERGENCE && summary.termination_type != ceres::USER_FAILURE) {
      unknowns_ = start;
      std::copy(start_marks.baselines.begin(), start_marks.baselines.end(), marks_.baselines.begin());
      std::copy(start_marks.lines.begin(), start_marks.lines.end(), marks_.lines.begin());
      summary = Minimize(false, control);
    }

    FlightSolution solution;
    solution.unknowns = unknowns_;
    solution.converged = summary.termination_type == ceres::CONVERGENCE;
    solution.cancelled = summary.termination_type == ceres::USER_FAILURE;
    solution.iterations = static_cast<int>(summary.iterations.size());
    solution.cost = summary.final_cost;
    solution.usable = summary.IsSolutionUsable() && !solution.cancelled;
    if (solution.usable) {
      if (!FillResiduals(&solution)) solution.converged = false;
      if (options_.covariance && !FillCovariance(&solution)) solution.converged = false;
    }
    return solution;
  }

 private:
  // The valley is narrow and bent where drag, scale and tilt trade places. Dogleg steps that may climb for a while
  // follow it in a fifth of the iterations of Levenberg-Marquardt's, which in turn gives up less easily.
  ceres::Solver::Summary Minimize(bool dogleg, const RunControl& control) {
    ceres::Solver::Options options;
    options.linear_solver_type = ceres::DENSE_QR;
    if (dogleg) {
      options.trust_region_strategy_type = ceres::DOGLEG;
      options.dogleg_type = ceres::SUBSPACE_DOGLEG;
      options.use_nonmonotonic_steps = true;
    }
    options.max_num_iterations = options_.max_iterations;
    options.max_num_consecutive_invalid_steps = 20;
    options.function_tolerance = 1e-7;
    options.parameter_tolerance = 1e-10;
    options.logging_type = ceres::SILENT;
    Stopper stopper(control.stop);
    options.callbacks.push_back(&stopper);
    ceres::Solver::Summary summary;
    ceres::Solve(options, &problem_, &summary);
    return summary;
  }

  void Add(const char* source,
           ceres::CostFunction* cost,
           ceres::LossFunction* loss,
           const std::vector<double*>& blocks) {
    if (!options_.residual_shifts.empty()) cost = new ShiftedCost(cost, &options_.residual_shifts[sources_.size()]);
    residuals_.push_back(problem_.AddResidualBlock(cost, loss, blocks));
    for (int i = 0; i < cost->num_residuals(); ++i) sources_.emplace_back(source);
  }

  void AddPoints() {
    for (std::size_t i = 0; i < points_.size(); ++i) {
      Add(kPathNoise,
          new PointError(points_[i], i, options_.noise_scale, principal_px_, nodes_),
          new ceres::CauchyLoss(options_.loss_scale_sigmas),
          {unknowns_.motion.data(),
           &unknowns_.launch_time_s,
           &unknowns_.readout_s,
           unknowns_.body_offset_m.data(),
           unknowns_.camera.data()});
    }
  }

  void AddPriors(const FlightPriors& priors) {
    double* motion = unknowns_.motion.data();
    Add("azimuth", PriorOn<kMotionSize>(kAzimuthRad, priors.azimuth_rad), nullptr, {motion});
    Add("usual drag", PriorOn<kMotionSize>(kLogDrag, priors.log_drag), nullptr, {motion});
    const Measured& change = priors.log_drag_change;
    Add("drag change",
        PriorOn<kMotionSize>(kLogDragChange, {change.value, change.std > 0.0 ? change.std : kHeldStd}),
        nullptr,
        {motion});
    Add("wind", PriorOn<kMotionSize>(kWindXMPerS, priors.wind_x_m_per_s), nullptr, {motion});
    Add("shutter readout", PriorOn<1>(0, priors.readout_s), nullptr, {&unknowns_.readout_s});
    double* offset = unknowns_.body_offset_m.data();
    Add("body middle", PriorOn<kOffsetSize>(kAlongM, priors.body_along_m), nullptr, {offset});
    Add("light and shade", PriorOn<kOffsetSize>(kShadeBySineM, priors.body_shade_m), nullptr, {offset});
    Add("light and shade", PriorOn<kOffsetSize>(kShadeByCosineM, priors.body_shade_m), nullptr, {offset});
  }

  void AddSurvey(const Survey& survey) {
    std::vector<Assumed> assumed;
    const std::vector<SurveyTerm> terms =
        MakeSurveyTerms(survey, unknowns_.camera.data(), &unknowns_.length_ratio, &marks_, &assumed);
    for (const SurveyTerm& term : terms) {
      Add(term.source.c_str(), term.cost, term.robust ? new ceres::CauchyLoss(kMarkLossSigmas) : nullptr, term.blocks);
    }
  }

  bool FillResiduals(FlightSolution* solution) {
    ceres::Problem::EvaluateOptions evaluate;
    evaluate.apply_loss_function = false;
    evaluate.residual_blocks = residuals_;
    if (!problem_.Evaluate(evaluate, nullptr, &solution->residuals, nullptr, nullptr)) return false;
    const std::vector<double>& values = solution->residuals;
    for (std::size_t i = 0; i < points_.size(); ++i) {
      const Eigen::Vector2d whitened(-values[2 * i], -values[2 * i + 1]);
      const Eigen::Matrix2d covariance = points_[i].cov_px2 * (options_.noise_scale * options_.noise_scale);
      const Eigen::Matrix2d sqrt_information = covariance.inverse().llt().matrixU();
      solution->residual_sigmas.push_back(whitened);
      solution->residual_px.emplace_back(sqrt_information.inverse() * whitened);
    }
    return true;
  }

  // The free parameter blocks in the order of the Jacobian's columns.
  std::vector<double*> FreeBlocks() {
    std::vector<double*> blocks = {unknowns_.motion.data(),
                                   unknowns_.camera.data(),
                                   &unknowns_.launch_time_s,
                                   &unknowns_.readout_s,
                                   unknowns_.body_offset_m.data()};
    if (options_.free_length_ratio) blocks.push_back(&unknowns_.length_ratio);
    for (auto& ends : marks_.baselines) blocks.push_back(ends.data());
    for (auto& ends : marks_.lines) blocks.push_back(ends.data());
    return blocks;
  }

  // The columns of the estimator's influence are what the budget needs.
  bool FillCovariance(FlightSolution* solution) {
    ceres::Problem::EvaluateOptions evaluate;
    evaluate.parameter_blocks = FreeBlocks();
    evaluate.residual_blocks = residuals_;
    ceres::CRSMatrix sparse;
    if (!problem_.Evaluate(evaluate, nullptr, nullptr, nullptr, &sparse)) return false;
    const std::optional<LinearEstimator> estimator =
        EstimatorOf(DenseFromRows(sparse.num_rows, sparse.num_cols, sparse.rows, sparse.cols, sparse.values));
    if (!estimator) return false;
    const Eigen::MatrixXd& influence = estimator->influence;

    solution->sources = sources_;
    solution->motion_influence = influence.topRows<kMotionSize>();
    solution->motion_covariance = solution->motion_influence * solution->motion_influence.transpose();
    const Eigen::MatrixXd camera = influence.middleRows<kCameraSize>(kMotionSize);
    solution->camera_covariance = camera * camera.transpose();
    const Eigen::Index next = Eigen::Index{kMotionSize} + Eigen::Index{kCameraSize};
    solution->launch_time_std_s = influence.row(next).norm();
    solution->readout_std_s = influence.row(next + 1).norm();
    if (options_.free_length_ratio) solution->length_ratio_std = influence.row(next + 2 + kOffsetSize).norm();
    for (const double change_s : options_.drag_changes_s) {
      if (!TestDragChange(change_s, estimator->thin_q, solution)) return false;
    }
    return true;
  }

  // Projects the derivative by a change of the drag off the space of all other unknowns (THIN_Q) and the residuals on
  // what is left of it.
  bool TestDragChange(double change_s, const Eigen::MatrixXd& thin_q, FlightSolution* solution) {
    ceres::Problem::EvaluateOptions evaluate;
    evaluate.parameter_blocks = {unknowns_.motion.data()};
    evaluate.residual_blocks = {residuals_.begin(), residuals_.begin() + static_cast<std::ptrdiff_t>(points_.size())};
    nodes_.ChangeDragAt(change_s);
    std::vector<double> residuals;
    ceres::CRSMatrix by_motion;
    const bool evaluated = problem_.Evaluate(evaluate, nullptr, &residuals, nullptr, &by_motion);
    nodes_.ChangeDragAt(conditions_.drag_change_s);
    if (!evaluated) return false;
    Eigen::VectorXd by_change(by_motion.num_rows);
    for (int row = 0; row < by_motion.num_rows; ++row) {
      for (int i = by_motion.rows[row]; i < by_motion.rows[row + 1]; ++i) {
        if (by_motion.cols[i] == kLogDragChange) by_change[row] = by_motion.values[i];
      }
    }
    const auto of_points = thin_q.topRows(by_change.size());
    const Eigen::VectorXd followed = of_points.transpose() * by_change;
    const double left = by_change.squaredNorm() - followed.squaredNorm();
    // All but a millionth is made up for by the other unknowns: nothing can be said.
    if (!(left > 1e-6 * by_change.squaredNorm())) return true;
    const double slope = by_change.dot(Eigen::Map<const Eigen::VectorXd>(residuals.data(), by_change.size()));
    solution->drag_change_tests.push_back({change_s, {-slope / left, 1.0 / std::sqrt(left)}});
    return true;
  }

  const std::vector<SeenPoint>& points_;
  FlightProblemOptions options_;
  FlightConditions conditions_;
  FlightUnknowns unknowns_;
  SurveyUnknowns marks_;
  Eigen::Vector2d principal_px_;
  PathNodes nodes_;
  ceres::Problem problem_;
  std::vector<ceres::ResidualBlockId> residuals_;
  std::vector<std::string> sources_;
};

}  // namespace

FlightSolution SolveFlight(const std::vector<SeenPoint>& points,
                           const Survey& survey,
                           const FlightPriors& priors,
                           const FlightUnknowns& start,
                           const FlightProblemOptions& options,
                           const RunControl& control) {
  return Adjustment(points, survey, priors, start, options).Solve(control);
}

}  // namespace loftline
