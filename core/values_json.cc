// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/values_json.h"

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

}  // namespace loftline
