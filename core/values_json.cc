// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/values_json.h"

#include "core/json_file.h"

#include <string>

namespace loftline {

using Json = nlohmann::ordered_json;

Json AsJson(const Measured& measured) {
  return {{"value", measured.value}, {"std", measured.std}};
}

Json AsJson(const std::optional<Measured>& measured) {
  return measured ? AsJson(*measured) : Json(nullptr);
}

Json AsJson(const std::optional<Estimate>& estimate) {
  if (!estimate) return nullptr;
  return {
      {"value", estimate->value}, {"std", estimate->std}, {"low_95", estimate->low_95}, {"high_95", estimate->high_95}};
}

Json FindingsAsJson(const std::vector<Finding>& findings) {
  Json list = Json::array();
  for (const Finding& finding : findings) {
    list.push_back({{"code", finding.code},
                    {"severity", SeverityName(finding.severity)},
                    {"message", finding.message},
                    {"advice", finding.advice}});
  }
  return list;
}

std::optional<Measured> TakeMeasured(JsonObject& parent, std::string_view key) {
  std::optional<JsonObject> object = parent.Child(key);
  if (!object) return std::nullopt;
  const double value = object->Number("value");
  return Measured{value, object->Number("std")};
}

std::optional<Estimate> TakeEstimate(JsonObject& parent, std::string_view key) {
  std::optional<JsonObject> object = parent.Child(key);
  if (!object) return std::nullopt;
  return EstimateOf(*object);
}

Estimate EstimateOf(JsonObject& object) {
  Estimate estimate;
  estimate.value = object.Number("value");
  estimate.std = object.Number("std");
  estimate.low_95 = object.Number("low_95");
  estimate.high_95 = object.Number("high_95");
  return estimate;
}

std::vector<Finding> TakeFindings(JsonObject& parent, std::string_view key) {
  constexpr Severity kSeverities[] = {Severity::kNote, Severity::kCaution, Severity::kRefusal};
  std::vector<std::string_view> names;
  for (const Severity severity : kSeverities) names.push_back(SeverityName(severity));
  std::vector<Finding> findings;
  for (JsonObject& object : parent.Children(key)) {
    Finding finding;
    finding.code = object.Text("code");
    finding.severity = kSeverities[TakeName(object, "severity", names)];
    finding.message = object.Text("message");
    finding.advice = object.Text("advice");
    findings.push_back(std::move(finding));
  }
  return findings;
}

std::size_t TakeName(JsonObject& parent, std::string_view key, const std::vector<std::string_view>& names) {
  const std::string word = parent.Text(key);
  std::string known;
  for (std::size_t i = 0; i < names.size(); ++i) {
    if (word == names[i]) return i;
    known += (known.empty() ? "" : ", ") + std::string(names[i]);
  }
  parent.Reject(key, "The word \"" + word + "\" is not known here.", "Known are " + known + ".");
  return 0;
}

}  // namespace loftline
