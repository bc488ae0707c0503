// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/summary_file.h"

#include "core/atomic_file.h"
#include "core/csv_file.h"
#include "core/json_file.h"
#include "core/read_file.h"
#include "study/summary_json.h"

#include <array>
#include <string_view>
#include <utility>

#include <fmt/format.h>

namespace loftline {
namespace {

using Json = nlohmann::ordered_json;

constexpr const char* kFormat = "loftline.summary";
constexpr int kVersion = 1;
constexpr const char* kJsonName = "summary.json";
constexpr std::size_t kLargestBytes = std::size_t{1} << 30;  // 10^5 flights are some 300 MB

constexpr std::array kAllOutcomes = {
    Outcome::kMeasured, Outcome::kRefused, Outcome::kUnreadable, Outcome::kSkipped, Outcome::kMissing};

Json CountsAsJson(const DaySummary& summary) {
  Json counts = Json::object();
  for (const Outcome outcome : kAllOutcomes) {
    counts[std::string(OutcomeName(outcome))] = CountOf(summary, outcome);
  }
  return counts;
}

std::string Number(std::optional<double> value) {
  return value ? fmt::format("{:.9g}", *value) : "";
}

void Put(const std::optional<Measured>& measured, double factor, std::vector<std::string>* cells) {
  cells->push_back(Number(measured ? std::optional(factor * measured->value) : std::nullopt));
  cells->push_back(Number(measured ? std::optional(factor * measured->std) : std::nullopt));
}

void Put(const std::optional<Estimate>& estimate, std::vector<std::string>* cells) {
  for (const double Estimate::*part : {&Estimate::value, &Estimate::std, &Estimate::low_95, &Estimate::high_95}) {
    cells->push_back(Number(estimate ? std::optional((*estimate).*part) : std::nullopt));
  }
}

void PutNames(const std::string& key, std::vector<std::string>* columns) {
  for (const char* ending : {"", "_std", "_low_95", "_high_95"}) columns->push_back(key + ending);
}

std::vector<std::string> Columns(const DaySummary& summary) {
  std::vector<std::string> columns = {"line", "clip", "survey", "design", "launch"};
  columns.insert(columns.end(), summary.variables.begin(), summary.variables.end());
  for (const char* name : {"mass_g",
                           "mass_std_g",
                           "diameter_mm",
                           "diameter_std_mm",
                           "tape_range_m",
                           "tape_range_std_m",
                           "outcome",
                           "verdict",
                           "findings",
                           "reason",
                           "direction"}) {
    columns.emplace_back(name);
  }
  for (const QuantityKey& quantity : kQuantities) PutNames(quantity.key, &columns);
  PutNames("rms_angle_deg", &columns);
  for (const char* name : {"turned_over", "apogee_in_view", "landing_in_view", "folder", "note"}) {
    columns.emplace_back(name);
  }
  return columns;
}

const char* YesNo(const FlightOutcome& outcome, bool value) {
  if (outcome.outcome != Outcome::kMeasured) return "";
  return value ? "yes" : "no";
}

std::vector<std::string> Cells(const FlightRecord& record) {
  const DayRow& row = record.row;
  const FlightOutcome& outcome = record.outcome;
  const bool measured = outcome.outcome == Outcome::kMeasured;
  std::vector<std::string> cells = {std::to_string(row.line), row.clip, row.survey, row.design, row.launch};
  cells.insert(cells.end(), row.variables.begin(), row.variables.end());
  Put(row.mass_kg, 1e3, &cells);
  Put(row.diameter_m, 1e3, &cells);
  Put(row.tape_range_m, 1.0, &cells);
  cells.emplace_back(OutcomeName(outcome.outcome));
  cells.emplace_back(measured ? VerdictName(outcome.verdict) : "");
  std::string codes;
  for (const Finding& finding : outcome.findings) codes += (codes.empty() ? "" : " ") + finding.code;
  cells.push_back(codes);
  cells.push_back(measured ? "" : WhyNot(outcome));
  cells.emplace_back(!measured ? "" : outcome.flight.direction == Direction::kLeft ? "left" : "right");
  for (const QuantityKey& quantity : kQuantities) Put(outcome.flight.*quantity.member, &cells);
  Put(outcome.rms_angle_deg, &cells);
  cells.emplace_back(YesNo(outcome, outcome.turned_over));
  cells.emplace_back(YesNo(outcome, outcome.apogee_in_view));
  cells.emplace_back(YesNo(outcome, outcome.landing_in_view));
  cells.push_back(record.folder);
  cells.push_back(row.note);
  return cells;
}

std::vector<std::string> VariablesOf(JsonObject flight) {
  const std::optional<JsonObject> variables = flight.Child("variables");
  return variables ? variables->Keys() : std::vector<std::string>();
}

Expected<DaySummary> ParseSummary(const std::filesystem::path& path) {
  const Expected<std::string> text = ReadWholeFile(path, kLargestBytes);
  if (!text) return text.error();
  Expected<JsonDocument> document = ParseJson(*text, path.string());
  if (!document) return document.error();
  JsonObject root = document->root();
  if (Status status = CheckFormat(root, kFormat, kVersion); !status) return status.error();
  DaySummary summary;
  summary.folder = path.parent_path();
  if (std::optional<JsonObject> program = root.Child("program")) {
    program->Ignore("name");
    summary.program_version = program->Text("version");
  }
  if (std::optional<JsonObject> table = root.Child("table")) {
    summary.table = table->Text("file");
    summary.table_sha256 = table->Text("sha256");
    summary.table_rows = table->Integer("rows");
  }
  if (std::optional<JsonObject> shard = root.Child("shard")) {
    summary.shard = shard->Integer("number");
    summary.shards = shard->Integer("of");
  }
  root.Ignore("variables");  // every flight has them, in the same order
  root.Ignore("counts");
  for (const JsonObject& flight : root.Children("flights")) {
    if (summary.flights.empty()) summary.variables = VariablesOf(flight);
    summary.flights.push_back(TakeRecord(flight, summary.variables));
  }
  if (Status status = document->Finish(); !status) return status.error();
  return summary;
}

}  // namespace

int CountOf(const DaySummary& summary, Outcome outcome) {
  int count = 0;
  for (const FlightRecord& flight : summary.flights) count += flight.outcome.outcome == outcome ? 1 : 0;
  return count;
}

std::string WhyNot(const FlightOutcome& outcome) {
  if (outcome.outcome == Outcome::kSkipped) return "The table says to skip it.";
  if (outcome.outcome == Outcome::kMissing) return "It was not measured: the run was broken off before.";
  for (const Finding& finding : outcome.findings) {
    if (finding.severity == Severity::kRefusal) return finding.message + " " + finding.advice;
  }
  return "";
}

namespace {

Json WithoutFlights(const DaySummary& summary) {
  Json json = {{"format", kFormat}, {"format_version", kVersion}};
  json["program"] = {{"name", "loftline"}, {"version", summary.program_version}};
  json["table"] = {{"file", summary.table}, {"sha256", summary.table_sha256}, {"rows", summary.table_rows}};
  json["shard"] = {{"number", summary.shard}, {"of", summary.shards}};
  json["variables"] = summary.variables;
  json["counts"] = CountsAsJson(summary);
  json["flights"] = Json::array();
  return json;
}

}  // namespace

nlohmann::ordered_json SummaryAsJson(const DaySummary& summary) {
  Json json = WithoutFlights(summary);
  for (const FlightRecord& record : summary.flights) {
    json["flights"].push_back(RecordAsJson(record, summary.variables));
  }
  return json;
}

Expected<std::string> SummaryAsText(const DaySummary& summary) {
  Expected<std::string> text = JsonText(WithoutFlights(summary));
  if (!text || summary.flights.empty()) return text;
  const std::string_view end = "]\n}\n";
  text->resize(text->size() - end.size());
  for (const FlightRecord& record : summary.flights) {
    const Expected<std::string> flight = JsonText(RecordAsJson(record, summary.variables));
    if (!flight) return flight.error();
    *text += &record == &summary.flights.front() ? "\n    " : ",\n    ";
    for (const char c : std::string_view(*flight).substr(0, flight->size() - 1)) {
      *text += c;
      if (c == '\n') *text += "    ";
    }
  }
  *text += "\n  ";
  *text += end;
  return text;
}

std::string SummaryAsCsv(const DaySummary& summary) {
  std::string text = CsvLine(Columns(summary)) + "\n";
  for (const FlightRecord& record : summary.flights) text += CsvLine(Cells(record)) + "\n";
  return text;
}

Expected<DaySummary> ReadSummary(const std::filesystem::path& folder) {
  const std::filesystem::path path = folder / kJsonName;
  std::error_code problem;
  if (!std::filesystem::exists(path, problem)) {
    return Error{ErrorKind::kInvalidInput,
                 "not-a-day",
                 "There is no summary.json in this folder.",
                 "Name the folder that 'loftline batch' wrote into; a run that was broken off is run again first.",
                 folder.string()};
  }
  return ParseSummary(path);
}

Status WriteSummary(const DaySummary& summary) {
  const Expected<std::string> json = SummaryAsText(summary);
  if (!json) return json.error();
  if (Status status = WriteFileAtomically(summary.folder / "summary.csv", SummaryAsCsv(summary)); !status) {
    return status;
  }
  return WriteFileAtomically(summary.folder / kJsonName, *json);
}

}  // namespace loftline
