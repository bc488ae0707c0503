// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/validated_quantities.h"

#include "core/uncertainty.h"
#include "fit/derived_quantities.h"
#include "fit/place.h"

#include <cmath>

namespace loftline {
namespace {

// By its own clock and origin, where the simulator's flight begins.
struct OwnLaunch {
  double time_s = 0.0;
  Eigen::Vector2d place_m = Eigen::Vector2d::Zero();
};

OwnLaunch OwnLaunchOf(const AlignedPath& aligned, const ValidationOptions& options) {
  if (options.align == Align::kNone) return {};
  const double time_s = aligned.path->LaunchS(options.simulator_launch_s);
  return {time_s, aligned.path->PlaceAt(time_s)};
}

// A standard uncertainty of what the table says: as stated, and from its last digit.
double Together(double stated, double rounding) {
  return std::hypot(stated, rounding);
}

// What the simulator says, quantity by quantity.
class Told {
 public:
  Told(const SimulatedPath& path, const OwnLaunch& launch, double height_above_landing_m)
      : path_(path), launch_(launch), apogee_(path.Apogee()) {
    landing_s_ = path.DownThroughS(launch.place_m.y() - height_above_landing_m);
  }

  std::optional<Measured> Value(const std::string& key) const {
    if (key == "launch_speed_m_s") return Speed(launch_.time_s);
    if (key == "launch_angle_deg") return Angle();
    if (key == "apogee_m" && apogee_) return Height();
    if (key == "time_to_apogee_s" && apogee_) return Measured{apogee_->time_s - launch_.time_s, ApogeeTimeStdS()};
    if (key == "range_m" && landing_s_) return Range();
    if (key == "flight_time_s" && landing_s_) return Measured{*landing_s_ - launch_.time_s, LandingTimeStdS()};
    if (key == "impact_speed_m_s" && landing_s_) return Speed(*landing_s_);
    return std::nullopt;
  }

 private:
  bool BeforeTable(double time_s) const { return time_s < path_.first_s() - 0.02; }

  std::optional<Measured> Speed(double time_s) const {
    if (BeforeTable(time_s) || (path_.heights_only() && !path_.speeds_told())) return std::nullopt;
    return Measured{path_.SpeedAt(time_s), path_.TableSpeedStd(time_s)};
  }
  std::optional<Measured> Angle() const {
    if (BeforeTable(launch_.time_s) || path_.heights_only()) return std::nullopt;
    const Eigen::Vector2d velocity = path_.VelocityAt(launch_.time_s);
    const double speed = velocity.norm();
    if (!(speed > 0.0)) return std::nullopt;
    const Eigen::Vector2d across(-velocity.y() / speed, velocity.x() / speed);
    const double std_m_per_s = across.cwiseProduct(path_.TableVelocityStd(launch_.time_s)).norm();
    return Measured{DegFromRad(std::atan2(velocity.y(), velocity.x())), DegFromRad(std_m_per_s / speed)};
  }
  Measured Height() const {
    return {path_.PlaceAt(apogee_->time_s).y() - launch_.place_m.y(),
            Together(path_.TablePlaceStdM(apogee_->time_s).y(), path_.RoundingStdM().y())};
  }
  std::optional<Measured> Range() const {
    if (path_.heights_only()) return std::nullopt;
    const Eigen::Vector2d std_m = path_.TablePlaceStdM(*landing_s_), velocity = path_.VelocityAt(*landing_s_);
    // An error in height moves the place where it comes down.
    const double along_of_height = velocity.x() / velocity.y();
    const Eigen::Vector2d rounding_m = path_.RoundingStdM();
    return Measured{path_.PlaceAt(*landing_s_).x() - launch_.place_m.x(),
                    Together(std::hypot(std_m.x(), along_of_height * std_m.y()),
                             std::hypot(rounding_m.x(), along_of_height * rounding_m.y()))};
  }
  // At the top the height says nothing of the time, the vertical speed all.
  double ApogeeTimeStdS() const {
    constexpr double kGravity = 9.8;
    const double table_s = std::hypot(path_.RoundingStdS(), apogee_->table_std_s);
    return Together(path_.VelocityStdAt(apogee_->time_s).y() / kGravity, table_s);
  }
  double LandingTimeStdS() const {
    const double fall_m_per_s = std::abs(path_.VelocityAt(*landing_s_).y());
    const double rounding_s = std::hypot(path_.RoundingStdS(), path_.RoundingStdM().y() / fall_m_per_s);
    return Together(path_.TablePlaceStdM(*landing_s_).y() / fall_m_per_s, rounding_s);
  }

  const SimulatedPath& path_;
  OwnLaunch launch_;
  std::optional<SimulatedApogee> apogee_;
  std::optional<double> landing_s_;
};

// What was laid upon each other is not tested. Laid where it fits best, the simulator's clock and origin are taken to
// be unknown, and what is counted from its launch with them.
bool Tested(const std::string& key, const ValidationOptions& options) {
  const bool of_launch = key == "launch_speed_m_s" || key == "launch_angle_deg";
  if (of_launch && options.launch_as_measured) return false;
  if (options.align == Align::kApogee) return key != "apogee_m" && key != "time_to_apogee_s";
  return options.align != Align::kFit || of_launch || key == "impact_speed_m_s";
}

struct QuantityRow {
  const char* key;
  const char* label;
  const char* unit;
  std::optional<Estimate> FlightQuantities::*measured;
};
constexpr QuantityRow kRows[] = {{"launch_speed_m_s", "Launch speed", "m/s", &FlightQuantities::launch_speed_m_s},
                                 {"launch_angle_deg", "Launch angle", "deg", &FlightQuantities::launch_angle_deg},
                                 {"apogee_m", "Apogee", "m", &FlightQuantities::apogee_m},
                                 {"time_to_apogee_s", "Time to apogee", "s", &FlightQuantities::time_to_apogee_s},
                                 {"range_m", "Range", "m", &FlightQuantities::range_m},
                                 {"flight_time_s", "Flight time", "s", &FlightQuantities::flight_time_s},
                                 {"impact_speed_m_s", "Impact speed", "m/s", &FlightQuantities::impact_speed_m_s}};

// A measured quantity's derivatives, by its key.
struct ByMotion {
  MotionVector by_motion = MotionVector::Zero();
  double by_landing = 0.0;
};
// Nothing where it never comes down.
std::optional<ByMotion> DerivativesOf(const FlightMilestones& milestones, const std::string& key) {
  const auto of = [](const std::optional<Sensitive>& value, double by_landing) {
    return value ? std::optional(ByMotion{value->by_motion, by_landing}) : std::nullopt;
  };
  if (key == "launch_speed_m_s") return of(milestones.launch_speed_m_s, 0.0);
  if (key == "launch_angle_deg") return of(milestones.launch_angle_deg, 0.0);
  if (key == "apogee_m") return of(milestones.apogee_m, 0.0);
  if (key == "time_to_apogee_s") return of(milestones.time_to_apogee_s, 0.0);
  if (key == "range_m") return of(milestones.range_m, milestones.range_by_landing);
  if (key == "flight_time_s") return of(milestones.flight_time_s, milestones.flight_time_by_landing_s_per_m);
  return of(milestones.impact_speed_m_s, milestones.impact_speed_by_landing_per_s);
}

// How E follows the measured motion: halfway between the two flights, and without the launch where the simulator has
// that from the footage.
MotionVector ErrorFollows(const ByMotion& measured, const ByMotion& simulated, bool launch_as_measured) {
  MotionVector follows = -0.5 * (measured.by_motion + simulated.by_motion);
  if (launch_as_measured) {
    for (const MotionParameter launch : {kForwardMPerS, kUpMPerS}) {
      follows[launch] = simulated.by_motion[launch] - measured.by_motion[launch];
    }
  }
  return follows;
}

// A value whose share of the path's scatter has been judged by few residuals has Student's factor.
double CoverageOf(const MotionVector& follows, const FittedMotion& motion, double total_variance, double path_dof) {
  constexpr double kCoverage = 0.95;
  const double share = total_variance > 0.0 ? follows.dot(motion.path_noise_part * follows) / total_variance : 0.0;
  return CoverageFactor(share > 1e-9 ? path_dof / (share * share) : kKnownDof, kCoverage);
}

double MattersOf(const QuantityRow& row, double measured, double share) {
  return std::string_view(row.unit) == "deg" ? DegFromRad(share) : share * std::abs(measured);
}

}  // namespace

Agreement AgreementOf(double error, double half_95, double matters) {
  if (std::abs(error) > half_95) return Agreement::kDisagrees;
  return half_95 > matters ? Agreement::kTooUncertain : Agreement::kAgrees;
}

SimulatorError CompareValues(const Measured& simulated, const Measured& measured, double coverage, double matters) {
  SimulatorError compared;
  compared.error = simulated.value - measured.value;
  compared.error_std = std::hypot(simulated.std, measured.std);
  const double half_95 = coverage * compared.error_std;
  compared.low_95 = compared.error - half_95;
  compared.high_95 = compared.error + half_95;
  compared.agreement = AgreementOf(compared.error, half_95, matters);
  return compared;
}

std::vector<ValidatedQuantity> CompareQuantities(const FlightResult& result,
                                                 const FittedMotion& motion,
                                                 const AlignedPath& aligned,
                                                 const EquivalentMotion& equivalent,
                                                 const ValidationOptions& options) {
  std::vector<Assumed> assumed;  // the result lists it already
  const Measured landing_m = HeightAboveLandingM(result.survey.launch, &assumed);
  const FlightMilestones measured = Milestones(motion.values, motion.conditions, landing_m.value);
  const FlightMilestones simulated =
      equivalent.found ? Milestones(equivalent.values, motion.conditions, landing_m.value) : FlightMilestones{};
  const Told told(*aligned.path, OwnLaunchOf(aligned, options), landing_m.value);
  std::vector<ValidatedQuantity> quantities;
  for (const QuantityRow& row : kRows) {
    const std::optional<Estimate>& estimate = result.flight.*row.measured;
    const std::optional<Measured> said = told.Value(row.key);
    if (!estimate || !said || !Tested(row.key, options)) continue;
    const ByMotion by = DerivativesOf(measured, row.key).value_or(ByMotion{});
    const ByMotion by_simulated = equivalent.found ? DerivativesOf(simulated, row.key).value_or(by) : by;
    const MotionVector follows = ErrorFollows(by, by_simulated, options.launch_as_measured);
    // Both are taken at the same landing level, so that an error of it moves both.
    const double by_landing = by.by_landing - by_simulated.by_landing;
    const double variance =
        follows.dot(motion.covariance * follows) + by_landing * by_landing * landing_m.std * landing_m.std;
    ValidatedQuantity quantity{row.key, row.label, row.unit, *said, *estimate};
    quantity.matters = MattersOf(row, estimate->value, options.matters);
    const SimulatorError error = CompareValues(*said,
                                               {estimate->value, std::sqrt(variance)},
                                               CoverageOf(follows, motion, variance, result.path_noise_dof),
                                               quantity.matters);
    quantity.error = error.error;
    quantity.error_std = error.error_std;
    quantity.low_95 = error.low_95;
    quantity.high_95 = error.high_95;
    quantity.agreement = error.agreement;
    quantities.push_back(quantity);
  }
  return quantities;
}

}  // namespace loftline
