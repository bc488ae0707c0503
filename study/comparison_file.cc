// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/comparison_file.h"

#include "core/values_json.h"

namespace loftline {
namespace {

using Json = nlohmann::ordered_json;

template <typename T>
Json OrNull(const std::optional<T>& value) {
  return value ? Json(*value) : Json(nullptr);
}

class Writer {
 public:
  explicit Writer(const Comparison& comparison) : comparison_(comparison) {}

  Json All() const {
    Json json = {{"format", "loftline.comparison"}, {"format_version", 1}};
    json["program"] = {{"name", "loftline"}, {"version", LOFTLINE_VERSION}};
    json["days"] = comparison_.days;
    json["grouped_by"] = comparison_.grouped_by;
    json["variables"] = comparison_.variables;
    json["headline"] = comparison_.headline;
    json["warnings"] = FindingsAsJson(comparison_.warnings);
    json["standard_launch"] = Standard();
    json["designs"] = Designs();
    json["flights"] = Flights();
    json["quantities"] = Json::object();
    for (const ComparedQuantity& quantity : comparison_.quantities) json["quantities"][quantity.key] = Of(quantity);
    json["standard_paths"] = Paths();
    json["tape"] = Tape();
    return json;
  }

 private:
  const std::string& NameOf(std::size_t design) const { return comparison_.designs[design].name; }

  Json Standard() const {
    const StandardLaunch& standard = comparison_.standard;
    return {{"speed_m_s", standard.speed_m_s},
            {"speed_given", standard.speed_given},
            {"angle_deg", standard.angle_deg},
            {"angle_given", standard.angle_given},
            {"air_density_kg_per_m3", standard.air_density_kg_per_m3},
            {"gravity_m_per_s2", standard.gravity_m_per_s2},
            {"height_above_landing_m", standard.height_above_landing_m}};
  }

  Json Designs() const {
    Json list = Json::array();
    for (const ComparedDesign& design : comparison_.designs) {
      Json variables = Json::object();
      for (std::size_t i = 0; i < comparison_.variables.size(); ++i) {
        variables[comparison_.variables[i]] = design.variables[i];
      }
      list.push_back({{"name", design.name},
                      {"variables", std::move(variables)},
                      {"launched", design.launched},
                      {"used", design.used}});
    }
    return list;
  }

  Json Flights() const {
    Json list = Json::array();
    for (const ComparedFlight& flight : comparison_.flights) {
      list.push_back({{"day", comparison_.days[flight.day]},
                      {"line", flight.record.row.line},
                      {"clip", flight.record.row.clip},
                      {"design", NameOf(flight.design)},
                      {"launch", flight.record.row.launch},
                      {"order", flight.order},
                      {"used", flight.used},
                      {"why_not", flight.why_not}});
    }
    return list;
  }

  Json Of(const ComparedQuantity& quantity) const {
    Json json = {{"label", quantity.label},
                 {"unit", quantity.unit},
                 {"standard", quantity.standard},
                 {"worth_knowing", quantity.worth_knowing}};
    json["values"] = Json::array();
    for (const ComparedValue& each : quantity.values) {
      json["values"].push_back({{"flight", each.flight}, {"value", each.value.value}, {"std", each.value.std}});
    }
    json["means"] = Json::array();
    for (std::size_t design = 0; design < quantity.means.size(); ++design) {
      const GroupMean& mean = quantity.means[design];
      if (mean.count == 0) continue;
      json["means"].push_back({{"design", NameOf(design)},
                               {"flights", mean.count},
                               {"mean", mean.mean},
                               {"spread", mean.count > 1 ? Json(mean.spread) : Json(nullptr)},
                               {"estimate", AsJson(quantity.mean_estimates[design])}});
    }
    json["share_by_design"] = OrNull(quantity.share_by_design);
    json["together"] = quantity.together ? Json{{"f", quantity.together->f},
                                                {"df_between", quantity.together->df_between},
                                                {"df_within", quantity.together->df_within},
                                                {"p", quantity.together->p}}
                                         : Json(nullptr);
    json["pairs"] = Json::array();
    for (const PairComparison& pair : quantity.pairs) json["pairs"].push_back(Of(pair));
    return json;
  }

  Json Of(const PairComparison& pair) const {
    return {{"one", NameOf(pair.one)},
            {"other", NameOf(pair.other)},
            {"difference", AsJson(std::optional(pair.difference.difference))},
            {"t", pair.difference.t},
            {"df", pair.difference.df},
            {"p", pair.difference.p},
            {"effect_size", AsJson(pair.effect_size)},
            {"permutation_p", OrNull(pair.permutation_p)},
            {"differ", pair.differ},
            {"more_launches_each", OrNull(pair.more_launches_each)},
            {"sentence", pair.sentence}};
  }

  Json Paths() const {
    Json list = Json::array();
    for (const StandardPath& path : comparison_.paths) {
      list.push_back({{"design", NameOf(path.design)},
                      {"range_m", path.range_m},
                      {"apogee_m", path.apogee_m},
                      {"flight_time_s", path.flight_time_s}});
    }
    return list;
  }

  Json Tape() const {
    if (!comparison_.tape) return nullptr;
    const TapeAgreement& tape = *comparison_.tape;
    Json pairs = Json::array();
    for (const TapeAgreement::Pair& pair : tape.pairs) {
      pairs.push_back(
          {{"flight", pair.flight}, {"measured_m", AsJson(pair.measured_m)}, {"taped_m", AsJson(pair.taped_m)}});
    }
    return {{"pairs", std::move(pairs)},
            {"mean_difference_m", AsJson(tape.mean_difference_m)},
            {"spread_m", tape.pairs.size() > 1 ? Json(tape.spread_m) : Json(nullptr)},
            {"low_limit_m", OrNull(tape.low_limit_m)},
            {"high_limit_m", OrNull(tape.high_limit_m)},
            {"chi2", tape.chi2},
            {"p", tape.p},
            {"sentence", tape.sentence}};
  }

  const Comparison& comparison_;
};

}  // namespace

nlohmann::ordered_json ComparisonAsJson(const Comparison& comparison) {
  return Writer(comparison).All();
}

}  // namespace loftline
