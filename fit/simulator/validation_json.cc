// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/validation_json.h"

#include "core/values_json.h"

#include <cmath>

namespace loftline {
namespace {

using Json = nlohmann::ordered_json;

Json Pair(const Eigen::Vector2d& vector) {
  return {vector.x(), vector.y()};
}

Json Columns(const FlightValidation& validation) {
  Json list = Json::array();
  for (const ReadColumn& column : validation.columns) {
    list.push_back({{"role", column.role},
                    {"column", column.column},
                    {"unit", column.unit},
                    {"unit_assumed", column.unit_assumed}});
  }
  return list;
}

Json Quantities(const FlightValidation& validation) {
  Json quantities = Json::object();
  for (const ValidatedQuantity& quantity : validation.quantities) {
    quantities[quantity.key] = {{"label", quantity.label},
                                {"unit", quantity.unit},
                                {"simulated", AsJson(quantity.simulated)},
                                {"measured", AsJson(std::optional(quantity.measured))},
                                {"error", quantity.error},
                                {"error_std", quantity.error_std},
                                {"low_95", quantity.low_95},
                                {"high_95", quantity.high_95},
                                {"matters", quantity.matters},
                                {"agreement", AgreementName(quantity.agreement)}};
  }
  return quantities;
}

// Lists of the path are for drawing: micrometres, microseconds and thousandths of pixels are enough.
Json Rounded(double value, double steps_per_unit) {
  if (!std::isfinite(value)) return nullptr;
  return std::round(value * steps_per_unit) / steps_per_unit;
}

// One list for each number, as long as there are moments; the way along is null where the table has heights alone, a
// pixel where there is none.
class Lists {
 public:
  explicit Lists(const PathComparison& path) : path_(path) {}

  Json All() const {
    Json lists = Json::object();
    lists["time_s"] = Json::array();
    lists["seen"] = Json::array();
    for (const PathMoment& moment : path_.moments) {
      lists["time_s"].push_back(Rounded(moment.time_s, 1e6));
      lists["seen"].push_back(moment.seen);
    }
    Add("measured", "m", &PathMoment::measured_m, false, lists);
    Add("measured_std", "m", &PathMoment::measured_std_m, false, lists);
    Add("simulated", "m", &PathMoment::simulated_m, path_.heights_only, lists);
    Add("simulated_std", "m", &PathMoment::simulated_std_m, path_.heights_only, lists);
    Add("error", "m", &PathMoment::error_m, path_.heights_only, lists);
    Add("error_std", "m", &PathMoment::error_std_m, path_.heights_only, lists);
    Add("measured", "px", &PathMoment::measured_px, false, lists);
    Add("simulated", "px", &PathMoment::simulated_px, false, lists);
    return lists;
  }

 private:
  void Add(const std::string& name,
           const std::string& unit,
           Eigen::Vector2d PathMoment::*member,
           bool no_along,
           Json& lists) const {
    const bool pixels = unit == "px";
    const double steps = pixels ? 1e3 : 1e6;
    Json first = Json::array(), second = Json::array();
    for (const PathMoment& moment : path_.moments) {
      const Eigen::Vector2d& pair = moment.*member;
      first.push_back(no_along ? Json(nullptr) : Rounded(pair.x(), steps));
      second.push_back(Rounded(pair.y(), steps));
    }
    lists[name + (pixels ? "_x_" : "_along_") + unit] = std::move(first);
    lists[name + (pixels ? "_y_" : "_up_") + unit] = std::move(second);
  }

  const PathComparison& path_;
};

Json Path(const PathComparison& path) {
  return {{"agreement", AgreementName(path.agreement)},
          {"heights_only", path.heights_only},
          {"first_s", path.first_s},
          {"last_s", path.last_s},
          {"chi2", path.chi2},
          {"dof", path.dof},
          {"dof_within", std::isfinite(path.dof_within) ? Json(path.dof_within) : Json(nullptr)},
          {"p", path.p},
          {"half_95_m", path.half_95_m},
          {"matters_m", path.matters_m},
          {"shape_m", path.shape_m},
          {"outside_m", path.outside_m},
          {"shape_limit_m", path.shape_limit_m},
          {"moments", Lists(path).All()}};
}

Json Drag(const DragSideBySide& drag) {
  return {{"simulated_per_m", drag.simulated_per_m},
          {"simulated_coefficient", drag.simulated_coefficient ? Json(*drag.simulated_coefficient) : Json(nullptr)},
          {"measured_per_m", AsJson(std::optional(drag.measured_per_m))},
          {"measured_coefficient", AsJson(drag.measured_coefficient)}};
}

Json Mends(const FlightValidation& validation) {
  Json list = Json::array();
  for (const Mend& mend : validation.mends) {
    list.push_back({{"key", mend.key},
                    {"label", mend.label},
                    {"unit", mend.unit},
                    {"factor", mend.factor},
                    {"change", AsJson(std::optional(mend.change))},
                    {"becomes", AsJson(std::optional(mend.becomes))},
                    {"chi2", mend.chi2},
                    {"p", mend.p},
                    {"mends", mend.mends}});
  }
  return list;
}

}  // namespace

nlohmann::ordered_json ValidationAsJson(const FlightValidation& validation) {
  const Alignment& alignment = validation.alignment;
  return {{"result_file", validation.result_file},
          {"clip", validation.clip},
          {"simulator_file", validation.simulator_file},
          {"agreement", AgreementName(validation.agreement)},
          {"sentence", validation.sentence},
          {"findings", FindingsAsJson(validation.findings)},
          {"columns", Columns(validation)},
          {"columns_passed_over", validation.columns_passed_over},
          {"alignment",
           {{"by", AlignName(alignment.by)},
            {"time_shift_s", alignment.time_shift_s},
            {"shift_m", Pair(alignment.shift_m)},
            {"mirrored", alignment.mirrored}}},
          {"launch_as_measured", validation.options.launch_as_measured},
          {"share_that_matters", validation.options.matters},
          {"gravity_m_per_s2", validation.gravity_m_per_s2},
          {"quantities", Quantities(validation)},
          {"path", Path(validation.path)},
          {"drag", Drag(validation.drag)},
          {"mends", Mends(validation)}};
}

}  // namespace loftline
