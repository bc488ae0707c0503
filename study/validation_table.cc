// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/validation_table.h"

#include "core/csv_file.h"
#include "core/text.h"

#include <fmt/format.h>

namespace loftline {
namespace {

namespace fs = std::filesystem;

Error BadWord(std::string_view text, const char* advice) {
  return {ErrorKind::kInvalidInput, "bad-value", fmt::format("{} is not known here.", Quoted(text)), advice};
}

std::string Small(std::string_view text) {
  std::string small(text);
  for (char& letter : small) letter = letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter - 'A' + 'a') : letter;
  return small;
}

class PairsReader {
 public:
  PairsReader(const CsvTable& csv, const fs::path& folder, const FlightToValidate& usual)
      : csv_(csv), folder_(folder), usual_(usual) {}

  Expected<FlightToValidate> Read(const CsvRow& row) const {
    FlightToValidate flight = usual_;
    const std::string &result = csv_.Cell(row, "result"), &simulator = csv_.Cell(row, "simulator");
    if (result.empty()) return csv_.ErrorAt(row, "result", "No result is named.", "Name a result.json in the cell.");
    flight.result = folder_ / result;
    if (!simulator.empty()) flight.simulator.file = folder_ / simulator;
    if (flight.simulator.file.empty()) {
      return csv_.ErrorAt(
          row, "simulator", "No simulator's table is named.", "Name it in the cell, or give --simulator.");
    }
    if (Status status = ReadSimulator(row, flight.simulator); !status) return status.error();
    if (Status status = ReadOptions(row, flight.options); !status) return status.error();
    return flight;
  }

 private:
  // ERROR as one of this row's cell.
  Error At(const CsvRow& row, const char* column, const Error& error) const {
    Error here = csv_.ErrorAt(row, column, error.message, error.advice);
    here.code = error.code;
    return here;
  }

  Status ReadSimulator(const CsvRow& row, SimulatorSource& simulator) const {
    if (const std::string& text = csv_.Cell(row, "columns"); !text.empty()) {
      Expected<std::vector<ColumnChoice>> columns = ParseColumnChoices(text);
      if (!columns) return At(row, "columns", columns.error());
      simulator.columns = std::move(*columns);
    }
    if (const std::string& text = csv_.Cell(row, "simulator_std"); !text.empty()) {
      simulator.band = {};
      if (Status status = AddToBand(text, simulator.band); !status) return At(row, "simulator_std", status.error());
    }
    return Done{};
  }

  Status ReadOptions(const CsvRow& row, ValidationOptions& options) const {
    if (const std::string& text = csv_.Cell(row, "align"); !text.empty()) {
      const Expected<Align> align = ParseAlign(text);
      if (!align) return At(row, "align", align.error());
      options.align = *align;
    }
    if (const std::string& text = csv_.Cell(row, "launch"); !text.empty()) {
      const Expected<bool> as_measured = ParseLaunchAsMeasured(text);
      if (!as_measured) return At(row, "launch", as_measured.error());
      options.launch_as_measured = *as_measured;
    }
    const Expected<std::optional<double>> launch_s = csv_.NumberOrNothing(row, "launch_time_s");
    if (!launch_s) return launch_s.error();
    if (*launch_s) options.simulator_launch_s = **launch_s;
    if (options.simulator_launch_s && options.align != Align::kLaunch) {
      return csv_.ErrorAt(
          row,
          *launch_s ? "launch_time_s" : "align",
          fmt::format("A launch time does not go with the alignment {}.", Quoted(AlignName(options.align))),
          "Align by launch, or give no launch time.");
    }
    return Done{};
  }

  const CsvTable& csv_;
  const fs::path& folder_;
  const FlightToValidate& usual_;
};

}  // namespace

Expected<Align> ParseAlign(std::string_view text) {
  for (const Align align : {Align::kLaunch, Align::kApogee, Align::kNone, Align::kFit}) {
    if (Small(text) == AlignName(align)) return align;
  }
  return BadWord(text, "Write launch, apogee, none or fit.");
}

Expected<bool> ParseLaunchAsMeasured(std::string_view text) {
  if (Small(text) == "own") return false;
  if (Small(text) == "measured") return true;
  return BadWord(text, "Write own, or measured where the simulator was started from this very result.");
}

Expected<std::vector<FlightToValidate>> ReadValidationTable(const fs::path& path, const FlightToValidate& usual) {
  CsvRules rules;
  rules.required = {"result", "simulator"};
  rules.optional = {"columns", "align", "launch_time_s", "launch", "simulator_std", "note"};
  if (!usual.simulator.file.empty()) {
    rules.required = {"result"};
    rules.optional.emplace_back("simulator");
  }
  const Expected<CsvTable> csv = ReadCsv(path, rules);
  if (!csv) return csv.error();
  const fs::path folder = path.parent_path();
  const PairsReader reader(*csv, folder, usual);
  std::vector<FlightToValidate> flights;
  for (const CsvRow& row : csv->rows) {
    Expected<FlightToValidate> flight = reader.Read(row);
    if (!flight) return flight.error();
    flights.push_back(std::move(*flight));
  }
  return flights;
}

}  // namespace loftline
