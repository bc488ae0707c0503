// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/stand_advice.h"

#include <cmath>
#include <vector>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr double kSamePlaceM = 0.3, kSameAngleDeg = 1.5;  // nobody could tell

// Half the 95 % interval over the value, to two digits: "±5.0 %".
std::string Percent(const ExpectedResult& expected, const char* key) {
  const auto quantity = expected.quantities.find(key);
  if (quantity == expected.quantities.end()) return "unknown";
  if (!(quantity->second.value > 0.0)) return fmt::format("±{:.2g}", quantity->second.half_95);
  const double percent = 100.0 * quantity->second.half_95 / quantity->second.value;
  if (percent > 100.0) return "more than ±100 %";
  return fmt::format("±{:.{}f} %", percent, percent < 9.95 ? 1 : 0);
}

std::string Metres(double metres) {
  return fmt::format("{:.1f} m", metres);
}

std::string Tilt(double tilt_deg) {
  return tilt_deg == 0.0
             ? "the phone held level"
             : fmt::format("the phone tilted {} by {:.0f}°", tilt_deg > 0.0 ? "up" : "down", std::abs(tilt_deg));
}

// "Step back from 12.0 m to 18.0 m and go 3.0 m to the right, with the phone tilted up by 9°"
std::string Way(const CameraStand& from, const CameraStand& to, bool upright) {
  std::vector<std::string> steps;
  if (to.turned) steps.push_back(fmt::format("hold the phone {}", upright ? "sideways" : "upright"));
  const double back_m = to.distance_m - from.distance_m, right_m = to.across_m - from.across_m;
  if (std::abs(back_m) >= kSamePlaceM) {
    steps.push_back(fmt::format("{} from {} to {} from the flight",
                                back_m > 0.0 ? "step back" : "go nearer",
                                Metres(from.distance_m),
                                Metres(to.distance_m)));
  }
  if (std::abs(right_m) >= kSamePlaceM) {
    steps.push_back(fmt::format("go {} to the {}", Metres(std::abs(right_m)), right_m > 0.0 ? "right" : "left"));
  }
  if (to.yaw_deg == 0.0 && std::abs(from.yaw_deg) >= kSameAngleDeg) steps.emplace_back("face the flight squarely");
  std::string way = steps.empty() ? "stay here" : steps.front();
  for (std::size_t i = 1; i < steps.size(); ++i) way += (i + 1 < steps.size() ? ", " : " and ") + steps[i];
  way[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(way[0])));
  return way + ", with " + Tilt(to.tilt_deg);
}

std::string Gains(const ExpectedResult& here, const ExpectedResult& there) {
  return fmt::format("drag {} becomes {}, launch speed {} becomes {}",
                     Percent(here, "drag_per_m"),
                     Percent(there, "drag_per_m"),
                     Percent(here, "launch_speed_m_s"),
                     Percent(there, "launch_speed_m_s"));
}

std::string Gives(const ExpectedResult& there) {
  return fmt::format("drag {} and launch speed {}", Percent(there, "drag_per_m"), Percent(there, "launch_speed_m_s"));
}

}  // namespace

std::string StandAdvice(const FlightPlan& plan) {
  const StandSearch& search = plan.search;
  if (!search.best) {
    return search.tried == 0
               ? "No other place was found from which the whole flight and all marks of the survey are in the picture."
               : fmt::format("None of the {} other places tried gives a measurement.", search.tried);
  }
  const StandOutcome& best = *search.best;
  if (search.clearly_better || !plan.expected) {
    const std::string way = Way(plan.stand, best.stand, plan.survey.height_px > plan.survey.width_px);
    return plan.expected ? fmt::format("{}: {}.", way, Gains(*plan.expected, best.expected))
                         : fmt::format("{}: that gives {}.", way, Gives(best.expected));
  }
  return fmt::format(
      "No place is clearly better. Of {} from which the whole flight and all marks are in the picture, the best "
      "({} from the flight{}) would give {}; {}.",
      search.tried,
      Metres(best.stand.distance_m),
      best.stand.turned ? ", the phone turned" : "",
      Gives(best.expected),
      plan.expected ? "this one gives " + Gives(*plan.expected) : "from this one nothing can be measured");
}

}  // namespace loftline
