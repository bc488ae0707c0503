// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/validation_file.h"

#include "core/values_json.h"
#include "fit/simulator/validation_json.h"

namespace loftline {
namespace {

using Json = nlohmann::ordered_json;

Json OfQuantity(const QuantityBias& bias) {
  const bool several = bias.error.has_value();
  return {{"label", bias.label},
          {"unit", bias.unit},
          {"flights", bias.flights},
          {"agree", bias.agree},
          {"disagree", bias.disagree},
          {"too_uncertain", bias.too_uncertain},
          {"mean_error", AsJson(bias.error)},
          {"mean_relative_error", AsJson(bias.relative)},
          {"judged_by", bias.by_share ? "relative_error" : "error"},
          {"between_std", several ? Json(bias.between) : Json(nullptr)},
          {"own_std", several ? Json(bias.own_std) : Json(nullptr)},
          {"scatter_p", several ? Json(bias.scatter_p) : Json(nullptr)},
          {"p", several ? Json(bias.p) : Json(nullptr)},
          {"p_adjusted", several ? Json(bias.p_adjusted) : Json(nullptr)},
          {"biased", bias.biased},
          {"sentence", bias.sentence}};
}

Json OfDrag(const std::optional<MeanDragFactor>& drag) {
  if (!drag) return nullptr;
  return {{"flights", drag->flights},
          {"flights_left_out", drag->left_out},
          {"factor", AsJson(std::optional(drag->factor))},
          {"between_log_std", drag->between},
          {"p", drag->p},
          {"sentence", drag->sentence}};
}

Json OfBias(const SimulatorBias& bias) {
  Json quantities = Json::object();
  for (const QuantityBias& quantity : bias.quantities) quantities[quantity.key] = OfQuantity(quantity);
  return {{"agree", bias.agree},
          {"disagree", bias.disagree},
          {"too_uncertain", bias.too_uncertain},
          {"most_wrong", bias.most_wrong.empty() ? Json(nullptr) : Json(bias.most_wrong)},
          {"quantities", std::move(quantities)},
          {"drag_factor", OfDrag(bias.drag_factor)},
          {"findings", FindingsAsJson(bias.findings)}};
}

Json LeftOut(const std::vector<UnvalidatedFlight>& flights) {
  Json list = Json::array();
  for (const UnvalidatedFlight& flight : flights) {
    list.push_back({{"result_file", flight.result_file},
                    {"simulator_file", flight.simulator_file},
                    {"refused", flight.error.kind == ErrorKind::kRefused},
                    {"code", flight.error.code},
                    {"message",
                     Describe({.message = flight.error.message,
                               .file = flight.error.file,
                               .line = flight.error.line,
                               .key = flight.error.key})},
                    {"advice", flight.error.advice}});
  }
  return list;
}

}  // namespace

nlohmann::ordered_json ValidationDocumentAsJson(const ValidationDocument& document) {
  Json json = {{"format", "loftline.validation"}, {"format_version", 1}};
  json["program"] = {{"name", "loftline"}, {"version", LOFTLINE_VERSION}};
  json["headline"] = document.bias.headline;
  json["bias"] = OfBias(document.bias);
  json["left_out"] = LeftOut(document.left_out);
  json["flights"] = Json::array();
  for (const ValidatedFlight& flight : document.flights) {
    json["flights"].push_back(ValidationAsJson(flight.validation));
  }
  return json;
}

}  // namespace loftline
