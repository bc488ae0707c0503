// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/day_answers.h"

#include "app/serve/day_comparison.h"
#include "core/values_json.h"
#include "report/day_words.h"
#include "report/format_number.h"
#include "tracker/clip_info.h"

#include <array>

namespace loftline {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

struct Number {
  const char* key;
  std::optional<Estimate> FlightQuantities::*quantity;
};
constexpr std::array<Number, 5> kNumbers{{{"launch_speed", &FlightQuantities::launch_speed_m_s},
                                          {"launch_angle", &FlightQuantities::launch_angle_deg},
                                          {"apogee", &FlightQuantities::apogee_m},
                                          {"range", &FlightQuantities::range_m},
                                          {"drag_coefficient", &FlightQuantities::drag_coefficient}}};

Json NumbersOf(const FlightQuantities& flight) {
  Json numbers = Json::object();
  for (const Number& number : kNumbers) {
    const std::optional<Estimate>& estimate = flight.*number.quantity;
    numbers[number.key] = nullptr;
    if (!estimate) continue;
    const EstimateText text = FormatPieces(*estimate);
    numbers[number.key] = {{"value", text.value}, {"plus_minus", text.plus_minus}};
  }
  return numbers;
}

// Below the day's folder; null where it is not there.
Json FileOf(const fs::path& folder, const FlightRecord& record, const std::string& file) {
  if (record.folder.empty()) return nullptr;
  const std::string name = std::string(kDayResults) + "/" + record.folder + "/" + file;
  std::error_code problem;
  return fs::is_regular_file(folder / name, problem) ? Json(name) : Json();
}

Json CountsOf(const DaySummary& summary) {
  const DayCounts counts = CountDay(summary);
  return {{"launches", counts.launches},
          {"measured", counts.measured},
          {"with_cautions", counts.with_cautions},
          {"refused", counts.refused},
          {"unreadable", counts.unreadable},
          {"missing", counts.missing},
          {"skipped", counts.skipped}};
}

Error BadRequest(const std::string& message) {
  return {ErrorKind::kUsage, "bad-value", message, "Load the page again."};
}

Expected<std::vector<std::string>> Texts(const Json& json, const std::string& what) {
  if (!json.is_array()) return BadRequest(what + " must be a list of texts.");
  std::vector<std::string> texts;
  for (const Json& item : json) {
    if (!item.is_string()) return BadRequest(what + " must be a list of texts.");
    texts.push_back(item.get<std::string>());
  }
  return texts;
}

}  // namespace

nlohmann::ordered_json TableAsJson(const StoredDay& day, const std::vector<CellProblem>& problems) {
  Json list = Json::array();
  for (const CellProblem& problem : problems) {
    list.push_back({{"row", problem.row ? Json(*problem.row) : Json()},
                    {"column", problem.column},
                    {"message", problem.message},
                    {"advice", problem.advice}});
  }
  return {{"name", day.name},
          {"revision", day.revision},
          {"columns", day.grid.columns},
          {"rows", day.grid.rows},
          {"problems", std::move(list)}};
}

nlohmann::ordered_json SummaryInShort(const DaySummary& summary, const DayStore& store, const std::string& name) {
  const fs::path folder = store.FolderOf(name);
  const DayPaths paths = store.PathsOf(name);
  const Expected<std::string> table_sha256 = Sha256OfFile(store.TableOf(name));
  Json flights = Json::array();
  for (const FlightRecord& record : summary.flights) {
    flights.push_back({{"clip", paths.ForPage(record.row.clip)},
                       {"design", record.row.design},
                       {"launch", record.row.launch},
                       {"note", record.row.note},
                       {"variables", record.row.variables},
                       {"outcome", OutcomeName(record.outcome.outcome)},
                       {"verdict", VerdictName(record.outcome.verdict)},
                       {"findings", FindingsAsJson(record.outcome.findings)},
                       {"numbers", NumbersOf(record.outcome.flight)},
                       {"report", FileOf(folder, record, record.stem + ".report.html")},
                       {"picture", FileOf(folder, record, "thumb.jpg")}});
  }
  return {{"current", table_sha256 && *table_sha256 == summary.table_sha256},
          {"counts", CountsOf(summary)},
          {"variables", summary.variables},
          {"flights", std::move(flights)}};
}

Expected<GridRequest> ReadGridRequest(const std::string& body) {
  const Json json = Json::parse(body, nullptr, false);
  if (!json.is_object())
    return Error{ErrorKind::kUsage, "bad-json", "The request is no JSON object.", "Load the page again."};
  for (const auto& [key, value] : json.items()) {
    if (key != "revision" && key != "columns" && key != "rows")
      return BadRequest("The key \"" + key + "\" is not known.");
  }
  if (!json.contains("revision") || !json["revision"].is_string()) return BadRequest("The revision is missing.");
  if (!json.contains("columns") || !json.contains("rows")) return BadRequest("Columns or rows are missing.");
  GridRequest request;
  request.revision = json["revision"].get<std::string>();
  Expected<std::vector<std::string>> columns = Texts(json["columns"], "The columns");
  if (!columns) return columns.error();
  request.grid.columns = std::move(*columns);
  if (!json["rows"].is_array()) return BadRequest("The rows must be a list.");
  for (const Json& row : json["rows"]) {
    Expected<std::vector<std::string>> cells = Texts(row, "A row");
    if (!cells) return cells.error();
    request.grid.rows.push_back(std::move(*cells));
  }
  return request;
}

}  // namespace loftline
