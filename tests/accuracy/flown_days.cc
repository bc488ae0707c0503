// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/flown_days.h"

#include "fit/fit_flight.h"
#include "sample-clips/render/random.h"
#include "sample-clips/render/trajectory.h"
#include "study/compare_day.h"
#include "study/measure_day.h"
#include "tests/accuracy/parallel.h"
#include "tests/accuracy/surveyed_track.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include <fmt/format.h>

namespace loftline::accuracy {
namespace {

// The day's field and phone; rocket and launch are those of a flight.
render::Scene SceneOfDay(render::Random* random) {
  render::Scene scene;
  scene.name = "day";
  scene.camera.horizontal_view_deg = random->Uniform(64.0, 70.0);
  scene.camera.x_m = random->Uniform(9.5, 11.5);
  scene.camera.height_m = 0.9;
  scene.camera.distance_m = random->Uniform(18.0, 23.0);
  scene.camera.tilt_deg = random->Uniform(11.0, 14.0);
  scene.camera.roll_deg = random->Normal(0.5);
  scene.camera.yaw_deg = random->Normal(1.0);
  scene.flight.height_above_landing_m = 0.5;
  scene.air.wind_along_m_s = random->Normal(0.8);
  scene.survey.pole_left_m = 5.0;
  scene.survey.pole_right_m = 15.0;
  scene.survey.pole_z_m = random->Uniform(-0.5, 0.5);
  scene.survey.depth_std_m = 0.05;
  scene.survey.view_std_deg = 1.0;
  scene.survey.distance_std_m = 0.1;
  scene.survey.tilt_std_deg = 0.5;
  scene.survey.roll_std_deg = 0.5;
  scene.survey.yaw_std_deg = 1.0;
  scene.survey.wind_std_m_s = 0.5;
  scene.survey.readout_std_s = 0.001;
  scene.survey.mass_std_kg = 0.0001;
  scene.survey.diameter_std_m = 0.0002;
  return scene;
}

// A follower that loses the rocket in the middle of its arc: the flight is then much worse known than the rest.
void LoseTrack(double seen_share, Track* track) {
  const auto left = static_cast<std::size_t>(seen_share * static_cast<double>(track->points.size()));
  track->points.resize(std::max<std::size_t>(left, 12));
}

FlightOutcome MeasureTrack(const SurveyedTrack& track) {
  FitOptions options;
  options.mass_kg = track.mass_kg;
  options.diameter_m = track.diameter_m;
  const Expected<FlightResult> result = FitFlight(track.track, track.survey, options);
  return result ? OutcomeOf(*result) : OutcomeOf(result.error());
}

struct Launch {
  int design = 0, number = 0;
};

// All launches of the day, shuffled.
std::vector<Launch> LaunchesOf(const FlownDayKind& kind, render::Random* random) {
  std::vector<Launch> launches;
  for (int design = 0; design < kind.designs; ++design) {
    for (int i = 0; i < kind.launches; ++i) launches.push_back({design, 0});
  }
  for (std::size_t i = launches.size(); i > 1; --i) {
    std::swap(launches[i - 1], launches[static_cast<std::size_t>(random->Pick(static_cast<int>(i)))]);
  }
  for (std::size_t i = 0; i < launches.size(); ++i) launches[i].number = static_cast<int>(i) + 1;
  return launches;
}

int SurveyOf(const FlownDayKind& kind, const Launch& launch) {
  if (kind.survey_by_design) return launch.design;
  return (launch.number - 1) * kind.surveys / (kind.designs * kind.launches);
}

struct TrueMeans {
  double standard_range_m = 0.0, standard_apogee_m = 0.0, drag_coefficient = 0.0;
};

render::Trajectory FlyTrue(const FlownDay& day, double drag_coefficient, const StandardLaunch& standard) {
  const double angle_rad = standard.angle_deg * std::numbers::pi / 180.0;
  const double area_m2 = std::numbers::pi / 4.0 * day.diameter_m * day.diameter_m;
  render::LaunchConditions launch;
  launch.velocity_m_s = standard.speed_m_s * Eigen::Vector3d(std::cos(angle_rad), std::sin(angle_rad), 0.0);
  launch.drag_per_m = drag_coefficient * standard.air_density_kg_per_m3 * area_m2 / (2.0 * day.mass_kg);
  launch.gravity_m_s2 = standard.gravity_m_per_s2;
  launch.landing_y_m = -standard.height_above_landing_m;
  return render::Trajectory(launch);
}

// Means over the rockets of a design, whose drag scatters log-normally: the trapezoidal rule over a standard normal z,
// which is good to 1e-3 of the scatter with so few steps.
TrueMeans TruthOf(const FlownDay& day, std::size_t design, const StandardLaunch& standard) {
  TrueMeans means;
  double weights = 0.0;
  for (const double z : {-3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0}) {
    const double drag_coefficient = day.drag_coefficients[design] * std::exp(day.log_spreads[design] * z);
    const render::Trajectory flown = FlyTrue(day, drag_coefficient, standard);
    const double weight = std::exp(-0.5 * z * z);
    weights += weight;
    means.standard_range_m += weight * flown.range_m();
    means.standard_apogee_m += weight * flown.apogee_m();
    means.drag_coefficient += weight * drag_coefficient;
  }
  means.standard_range_m /= weights;
  means.standard_apogee_m /= weights;
  means.drag_coefficient /= weights;
  return means;
}

const ComparedQuantity* Find(const Comparison& comparison, const std::string& key) {
  const auto found =
      std::ranges::find_if(comparison.quantities, [&key](const ComparedQuantity& each) { return each.key == key; });
  return found == comparison.quantities.end() ? nullptr : &*found;
}

// ORDER: the place of each compared design in the alphabet. All pairs are turned so that the later design comes second,
// which is the one with the weaker pushes.
JudgedDay Judge(const ComparedQuantity& quantity,
                const std::vector<TrueMeans>& truths,
                const std::vector<std::size_t>& order,
                double TrueMeans::*member) {
  JudgedDay judged;
  for (const PairComparison& pair : quantity.pairs) {
    const Estimate& difference = pair.difference.difference;
    const double truth = truths[pair.other].*member - truths[pair.one].*member;
    if (order[pair.one] < order[pair.other]) {
      judged.pairs.push_back({truth, difference.value, difference.low_95, difference.high_95});
    } else {
      judged.pairs.push_back({-truth, -difference.value, -difference.high_95, -difference.low_95});
    }
  }
  if (quantity.together) judged.together_p = quantity.together->p;
  return judged;
}

}  // namespace

std::vector<FlownDayKind> FlownDayKinds() {
  std::vector<FlownDayKind> kinds;
  for (const int designs : {2, 3}) {
    const int launches = designs == 2 ? 5 : 4;
    for (const bool equal : {true, false}) {
      const std::string name = fmt::format("{}x{} {} ", designs, launches, equal ? "=" : "<");
      kinds.push_back({name + "one survey", designs, launches, equal, 1, false});
      kinds.push_back({name + "two surveys", designs, launches, equal, 2, false});
      kinds.push_back({name + "a survey each", designs, launches, equal, designs, true});
    }
  }
  return kinds;
}

FlownDay MakeFlownDay(const FlownDayKind& kind, std::uint64_t seed) {
  render::Random random(render::SeedFor(seed, SeedFrom(kind.name)));
  FlownDay day;
  std::vector<render::Scene> scenes;
  scenes.reserve(static_cast<std::size_t>(kind.surveys));
  for (int i = 0; i < kind.surveys; ++i) scenes.push_back(SceneOfDay(&random));
  day.mass_kg = scenes.front().rocket.mass_kg;
  day.diameter_m = scenes.front().rocket.diameter_m;
  std::vector<double> speeds_m_s;
  const double cd = random.Uniform(0.45, 0.65);
  for (int design = 0; design < kind.designs; ++design) {
    day.designs.push_back(std::string(1, static_cast<char>('A' + design)));
    day.drag_coefficients.push_back(kind.equal ? cd : cd * std::pow(0.75, design));
    day.log_spreads.push_back(design % 2 == 0 ? 0.05 : 0.12);
    speeds_m_s.push_back(20.0 - 1.5 * design);  // the weaker pushes go to the better ones
  }
  day.summary.table = "day.csv";
  for (const Launch& launch : LaunchesOf(kind, &random)) {
    const auto design = static_cast<std::size_t>(launch.design);
    const int survey = SurveyOf(kind, launch);
    render::Scene scene = scenes[static_cast<std::size_t>(survey)];
    scene.flight.speed_m_s = speeds_m_s[design] + random.Normal(1.0);
    scene.flight.elevation_deg = std::clamp(60.0 + random.Normal(3.0), 50.0, 70.0);
    scene.flight.drag_coefficient = day.drag_coefficients[design] * std::exp(random.Normal(day.log_spreads[design]));
    const std::uint64_t flight_seed = render::SeedFor(seed, 1000 + static_cast<std::uint64_t>(launch.number));
    const std::uint64_t survey_seed = render::SeedFor(seed, 2000 + static_cast<std::uint64_t>(survey));
    SurveyedTrack track = MakeSurveyedTrack(scene, flight_seed, {}, survey_seed);
    if (random.Chance(0.12)) LoseTrack(random.Uniform(0.5, 0.75), &track.track);
    FlightRecord record;
    record.row.line = launch.number + 1;
    record.row.launch = std::to_string(launch.number);
    record.row.design = day.designs[design];
    record.row.mass_kg = track.mass_kg;
    record.row.diameter_m = track.diameter_m;
    record.outcome = MeasureTrack(track);
    record.outcome.survey_sha256 = fmt::format("survey {}", survey);
    day.summary.flights.push_back(std::move(record));
  }
  return day;
}

std::vector<JudgedDay> CompareFlownDay(const FlownDayKind& kind, std::uint64_t seed) {
  struct Judged {
    const char* key;
    const char* name;
    double TrueMeans::*member;
  };
  constexpr Judged kJudged[] = {{"standard_range_m", "range", &TrueMeans::standard_range_m},
                                {"standard_apogee_m", "apogee", &TrueMeans::standard_apogee_m},
                                {"drag_coefficient", "Cd", &TrueMeans::drag_coefficient}};
  const FlownDay day = MakeFlownDay(kind, seed);
  const Expected<Comparison> comparison = CompareDays({day.summary});
  std::vector<TrueMeans> truths;
  std::vector<std::size_t> order;
  if (comparison) {
    for (const ComparedDesign& design : comparison->designs) {
      order.push_back(static_cast<std::size_t>(std::ranges::find(day.designs, design.name) - day.designs.begin()));
      truths.push_back(TruthOf(day, order.back(), comparison->standard));
    }
  }
  std::vector<JudgedDay> judged;
  for (const Judged& each : kJudged) {
    const ComparedQuantity* quantity = comparison ? Find(*comparison, each.key) : nullptr;
    judged.push_back(quantity ? Judge(*quantity, truths, order, each.member) : JudgedDay{});
    judged.back().equal = kind.equal;
    judged.back().kind = fmt::format("{}, {}", kind.name, each.name);
  }
  return judged;
}

std::vector<JudgedDay> CompareFlownDays(const std::vector<FlownDayKind>& kinds,
                                        std::uint64_t first_seed,
                                        int days_each,
                                        int jobs) {
  const int count = days_each * static_cast<int>(kinds.size());
  std::vector<std::vector<JudgedDay>> each(static_cast<std::size_t>(count));
  ForEachIndex(count, jobs, [&](int i) {
    each[static_cast<std::size_t>(i)] = CompareFlownDay(kinds[static_cast<std::size_t>(i / days_each)],
                                                        first_seed + static_cast<std::uint64_t>(i % days_each));
  });
  std::vector<JudgedDay> days;
  for (const std::vector<JudgedDay>& some : each) days.insert(days.end(), some.begin(), some.end());
  return days;
}

}  // namespace loftline::accuracy
