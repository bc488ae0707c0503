// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/prediction/prediction_file.h"

#include "core/csv_file.h"
#include "core/values_json.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include <fmt/format.h>

namespace loftline {
namespace {

using Json = nlohmann::ordered_json;
using Given = PredictionInput::Given;

const char* GivenName(Given given) {
  switch (given) {
    case Given::kGiven:
      return "given";
    case Given::kMeasured:
      return "measured";
    case Given::kAssumed:
      return "assumed";
  }
  return "assumed";
}

Json InputsAsJson(const std::vector<PredictionInput>& inputs) {
  Json list = Json::object();
  for (const PredictionInput& input : inputs) {
    list[input.key] = {{"value", input.value.value}, {"std", input.value.std}, {"source", GivenName(input.given)}};
  }
  return list;
}

Json DragAsJson(const Prediction& prediction) {
  Json table = nullptr;
  if (prediction.drag_table) {
    const DragTableFile& file = *prediction.drag_table;
    table = {{"file", file.file},
             {"against", file.table.against() == DragAgainst::kTime ? "time_s" : "reynolds"},
             {"rows", file.table.at().size()},
             {"first", file.table.at().front()},
             {"last", file.table.at().back()}};
  }
  return {{"by", DragSourceName(prediction.drag_source)}, {"table", table}};
}

Json BudgetAsJson(const std::vector<BudgetLine>& budget) {
  Json lines = Json::array();
  for (const BudgetLine& line : budget) {
    lines.push_back({{"source", line.source}, {"std", line.std}, {"share", line.share}});
  }
  return lines;
}

struct RowColumn {
  const char* name;
  double (*of)(const PredictedRow&);
  int digits;
};
constexpr RowColumn kRowColumns[] = {
    {"t_s", [](const PredictedRow& row) { return row.time_s; }, 12},
    {"x_m", [](const PredictedRow& row) { return row.at_m.x(); }, 10},
    {"y_m", [](const PredictedRow& row) { return row.at_m.y(); }, 10},
    {"vx_m_s", [](const PredictedRow& row) { return row.velocity_m_per_s.x(); }, 10},
    {"vy_m_s", [](const PredictedRow& row) { return row.velocity_m_per_s.y(); }, 10},
    {"x_std_m", [](const PredictedRow& row) { return row.at_std_m.x(); }, 4},
    {"y_std_m", [](const PredictedRow& row) { return row.at_std_m.y(); }, 4},
    {"vx_std_m_s", [](const PredictedRow& row) { return row.velocity_std_m_per_s.x(); }, 4},
    {"vy_std_m_s", [](const PredictedRow& row) { return row.velocity_std_m_per_s.y(); }, 4}};

Json PathAsJson(const std::vector<PredictedRow>& rows) {
  Json path = Json::object();
  for (const RowColumn& column : kRowColumns) {
    Json values = Json::array();
    for (const PredictedRow& row : rows) values.push_back(column.of(row));
    path[column.name] = std::move(values);
  }
  return path;
}

// A name from outside must not end the comment line that it stands in.
std::string OnOneLine(std::string text) {
  std::ranges::replace_if(
      text, [](unsigned char c) { return c < 0x20 || c == 0x7F; }, '?');
  return text;
}

std::string Comments(const Prediction& prediction) {
  std::string text = fmt::format("# Flight predicted by loftline {}\n", LOFTLINE_VERSION);
  if (!prediction.from_clip.empty() || !prediction.from_file.empty()) {
    const std::string& name = prediction.from_file.empty() ? prediction.from_clip : prediction.from_file;
    text += std::string(kPredictedFromRemark) + OnOneLine(name) + "\n";
  }
  if (prediction.drag_table) text += "# drag table: " + OnOneLine(prediction.drag_table->file) + "\n";
  for (const PredictionInput& input : prediction.inputs) {
    text += "# " + InputText(input) +
            (input.given == Given::kGiven ? "" : fmt::format(" ({})", GivenName(input.given))) + "\n";
  }
  text += fmt::format("# air density {:.5g} kg/m3, gravity {:.6g} m/s2\n",
                      prediction.air_density_kg_per_m3.value,
                      prediction.gravity_m_per_s2);
  for (const Finding& finding : prediction.findings) text += "# " + OnOneLine(finding.message) + "\n";
  text +=
      "# x along the launch, y up, from the launch point; *_std_*: one standard uncertainty; the last row is the "
      "landing\n";
  return text + "# It does not tell where it is safe to stand.\n";
}

}  // namespace

ShownInput InputForPeople(const PredictionInput& input) {
  const auto scaled = [&](double scale, const char* unit) {
    return ShownInput{{scale * input.value.value, scale * input.value.std}, unit};
  };
  if (input.unit == "kg") return scaled(1e3, "g");
  if (input.unit == "m" && input.key.find("diameter") != std::string::npos) return scaled(1e3, "mm");
  if (input.unit == "rad") return scaled(DegFromRad(1.0), "°");
  return {input.value, input.unit};
}

std::optional<std::string> TableAsItStands(const PredictionInput& input) {
  if (input.key == "table_shift") return input.label + " as it stands, ± 1 of its own uncertainties";
  if (input.key == "table_factor" && !(input.value.std > 0.0)) return input.label + " as it stands";
  return std::nullopt;
}

std::string InputText(const PredictionInput& input) {
  if (const std::optional<std::string> table = TableAsItStands(input)) return *table;
  const auto& [measured, unit] = InputForPeople(input);
  const double value = measured.value, std = measured.std;
  std::string text = input.label;
  if (std > 0.0) {  // two digits of the uncertainty, and as many decimals of the value
    const int decimals = std::max(0, 1 - static_cast<int>(std::floor(std::log10(std))));
    text += fmt::format(" {0:.{2}f} ± {1:.{2}f}", value, std, decimals);
  } else {
    text += fmt::format(" {:.6g}", value);
  }
  if (unit.empty()) return text;
  return text + (unit == "°" ? "" : " ") + unit;
}

Json PredictionAsJson(const Prediction& prediction) {
  Json json = {{"format", "loftline.prediction"}, {"format_version", 1}};
  json["program"] = {{"name", "loftline"}, {"version", LOFTLINE_VERSION}};
  json["from"] = prediction.from_file.empty() && prediction.from_clip.empty()
                     ? Json(nullptr)
                     : Json{{"file", prediction.from_file}, {"clip", prediction.from_clip}};
  json["inputs"] = InputsAsJson(prediction.inputs);
  json["drag"] = DragAsJson(prediction);
  json["air_density_kg_per_m3"] = AsJson(prediction.air_density_kg_per_m3);
  json["air_viscosity_pa_s"] = prediction.air_viscosity_pa_s;
  json["gravity_m_per_s2"] = prediction.gravity_m_per_s2;
  json["flight"] = Json::object();
  json["budget"] = Json::object();
  for (const PredictedQuantity& quantity : prediction.quantities) {
    json["flight"][quantity.key] = AsJson(quantity.estimate);
    json["budget"][quantity.key] = BudgetAsJson(quantity.budget);
  }
  json["findings"] = FindingsAsJson(prediction.findings);
  json["path"] = PathAsJson(prediction.rows);
  return json;
}

std::string PredictionAsCsv(const Prediction& prediction) {
  std::string text = Comments(prediction);
  std::vector<std::string> cells;
  for (const RowColumn& column : kRowColumns) cells.emplace_back(column.name);
  text += CsvLine(cells) + "\n";
  for (const PredictedRow& row : prediction.rows) {
    cells.clear();
    for (const RowColumn& column : kRowColumns) {
      cells.push_back(fmt::format("{:.{}g}", column.of(row) + 0.0, column.digits));  // + 0.0: no "-0"
    }
    text += CsvLine(cells) + "\n";
  }
  return text;
}

}  // namespace loftline
