// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/day_check.h"

#include "app/serve/day_comparison.h"
#include "app/serve/day_words_file.h"
#include "app/validation_files.h"
#include "core/atomic_file.h"
#include "core/read_file.h"
#include "core/values_json.h"
#include "report/validation_words.h"
#include "study/validate_many.h"
#include "study/validation_table.h"

#include <algorithm>
#include <map>
#include <thread>

namespace loftline {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

constexpr const char* kSimulator = "simulator.csv";
constexpr const char* kCheck = "check";
constexpr const char* kWords = "words.json";
constexpr std::size_t kLargestTableBytes = std::size_t{64} << 20;

using RecordByResult = std::map<std::string, const FlightRecord*>;

Expected<FlightToValidate> Understood(const CheckAsked& asked, const fs::path& simulator) {
  FlightToValidate flight;
  flight.simulator.file = simulator;
  flight.options.launch_as_measured = asked.launch_as_measured;
  if (!asked.columns.empty()) {
    Expected<std::vector<ColumnChoice>> columns = ParseColumnChoices(asked.columns);
    if (!columns) return columns.error();
    flight.simulator.columns = std::move(*columns);
  }
  if (!asked.align.empty()) {
    const Expected<Align> align = ParseAlign(asked.align);
    if (!align) return align.error();
    flight.options.align = *align;
  }
  return flight;
}

RecordByResult FlightsAsked(const fs::path& folder, const DaySummary& summary, const CheckAsked& asked) {
  RecordByResult flights;
  for (const FlightRecord& record : summary.flights) {
    if (record.outcome.outcome != Outcome::kMeasured) continue;
    if (!asked.design.empty() && record.row.design != asked.design) continue;
    if (!asked.launch.empty() && record.row.launch != asked.launch) continue;
    flights.emplace((folder / kDayResults / record.folder / (record.stem + ".result.json")).string(), &record);
  }
  return flights;
}

std::vector<std::string> Sentences(const ValidationDocument& document) {
  std::vector<std::string> sentences;
  if (document.flights.size() == 1) {
    const FlightValidation& flight = document.flights.front().validation;
    sentences.push_back(AlignmentSentence(flight));
    return sentences;
  }
  for (const QuantityBias& quantity : document.bias.quantities) {
    if (!quantity.sentence.empty()) sentences.push_back(quantity.sentence);
  }
  if (document.bias.drag_factor) sentences.push_back(document.bias.drag_factor->sentence);
  return sentences;
}

std::string MendOf(const FlightValidation& flight) {
  return flight.mends.empty() || flight.agreement == Agreement::kAgrees ? "" : MendSentence(flight.mends.front());
}

Json ColumnsOf(const ValidationDocument& document) {
  Json columns = Json::array();
  for (const ReadColumn& column : document.flights.front().validation.columns) {
    columns.push_back({{"role", column.role},
                       {"column", column.column},
                       {"unit", column.unit},
                       {"unit_assumed", column.unit_assumed}});
  }
  return columns;
}

Json InWords(const ValidationDocument& document, const CheckAsked& asked, const RecordByResult& records) {
  Json flights = Json::array(), left_out = Json::array();
  for (const ValidatedFlight& flight : document.flights) {
    const DayRow& row = records.at(flight.validation.result_file)->row;
    flights.push_back({{"clip", fs::path(row.clip).filename().string()},
                       {"design", row.design},
                       {"launch", row.launch},
                       {"agreement", AgreementName(flight.validation.agreement)},
                       {"sentence", flight.validation.sentence},
                       {"mend", MendOf(flight.validation)}});
  }
  for (const UnvalidatedFlight& flight : document.left_out) {
    const DayRow& row = records.at(flight.result_file)->row;
    left_out.push_back({{"design", row.design},
                        {"launch", row.launch},
                        {"message", flight.error.message},
                        {"advice", flight.error.advice}});
  }
  std::vector<Finding> findings = document.bias.findings;
  if (document.flights.size() == 1) {
    const std::vector<Finding>& own = document.flights.front().validation.findings;
    findings.insert(findings.begin(), own.begin(), own.end());
  }
  const bool one = document.flights.size() == 1;
  return {{"title", ValidationTitle(document.flights)},
          {"headline", one ? document.flights.front().validation.sentence : document.bias.headline},
          {"asked",
           {{"design", asked.design},
            {"launch", asked.launch},
            {"columns", asked.columns},
            {"align", asked.align},
            {"launch_as_measured", asked.launch_as_measured}}},
          {"sentences", Sentences(document)},
          {"findings", FindingsAsJson(findings)},
          {"columns", ColumnsOf(document)},
          {"flights", std::move(flights)},
          {"left_out", std::move(left_out)}};
}

Expected<ValidationDocument> Compared(const RecordByResult& records,
                                      const FlightToValidate& usual,
                                      const RunControl& control) {
  std::vector<FlightToValidate> flights(records.size(), usual);
  std::size_t i = 0;
  for (const auto& [result, record] : records) flights[i++].result = result;
  const auto threads = static_cast<int>(std::clamp(std::thread::hardware_concurrency(), 1U, 64U));
  return ValidateMany(flights, threads, control);
}

// SIMULATOR is read; the pages name it by where it will stay.
Status CheckFile(const fs::path& folder,
                 const fs::path& simulator,
                 const CheckAsked& asked,
                 const RunControl& control) {
  const Expected<DaySummary> summary = ReadDaySummary(folder);
  if (!summary) return summary.error();
  const Expected<FlightToValidate> usual = Understood(asked, simulator);
  if (!usual) return usual.error();
  const RecordByResult records = FlightsAsked(folder, *summary, asked);
  if (records.empty()) {
    return Error{ErrorKind::kRefused,
                 "no-flights",
                 "No flight of that choice was measured, so there is nothing to compare the simulator with.",
                 "Run the day first, or choose other flights."};
  }
  Expected<ValidationDocument> document = Compared(records, *usual, control);
  if (!document) return document.error();
  for (ValidatedFlight& flight : document->flights) {
    flight.validation.simulator_file = (folder / kSimulator).string();
  }
  const Expected<std::vector<fs::path>> written = WriteValidation(*document, folder / kCheck);
  if (!written) return written.error();
  return WriteWords(folder / kCheck / kWords, InWords(*document, asked, records));
}

CheckAsked AskedOf(const Json& words) {
  CheckAsked asked;
  if (!words.is_object() || !words.contains("asked") || !words["asked"].is_object()) return asked;
  const Json& json = words["asked"];
  asked.design = json.value("design", "");
  asked.launch = json.value("launch", "");
  asked.columns = json.value("columns", "");
  asked.align = json.value("align", "");
  asked.launch_as_measured = json.value("launch_as_measured", false);
  return asked;
}

}  // namespace

Status CheckSimulator(const fs::path& folder,
                      const std::string& csv,
                      const CheckAsked& asked,
                      const RunControl& control) {
  // Under its own name, as messages name it, but apart until it is known to be of use.
  const fs::path apart = folder / ".asked";
  std::error_code problem;
  fs::create_directories(apart, problem);
  if (Status status = WriteFileAtomically(apart / kSimulator, csv); !status) return status;
  Status status = CheckFile(folder, apart / kSimulator, asked, control);
  if (status) {
    fs::rename(apart / kSimulator, folder / kSimulator, problem);
    if (problem) {
      status =
          Error{ErrorKind::kInternal, "cannot-write", "The simulator's table cannot be kept: " + problem.message(), ""};
    }
  }
  std::error_code ignored;
  fs::remove_all(apart, ignored);
  return status;
}

Expected<std::string> ReadSimulator(const fs::path& folder) {
  Expected<std::string> csv = ReadWholeFile(folder / kSimulator, kLargestTableBytes);
  if (csv) return csv;
  return Error{ErrorKind::kInvalidInput,
               "no-file",
               "No simulator's table was brought to this day yet.",
               "Choose the simulator's table first."};
}

Status RenewCheck(const fs::path& folder) {
  const Json words = ReadCheck(folder);
  if (words.is_null()) return Done{};
  Status status = CheckFile(folder, folder / kSimulator, AskedOf(words), {});
  if (status || status.error().code == "cannot-write") return status;
  std::error_code ignored;
  fs::remove_all(folder / kCheck, ignored);
  return Done{};
}

nlohmann::ordered_json ReadCheck(const fs::path& folder) {
  return ReadWords(folder / kCheck / kWords);
}

}  // namespace loftline
