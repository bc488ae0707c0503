// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/day_table.h"

#include "calibrate/survey_file.h"
#include "core/csv_file.h"
#include "core/letter_case.h"
#include "core/text.h"
#include "fit/rocket_defaults.h"
#include "tracker/clip_info.h"

#include <algorithm>
#include <fstream>
#include <map>
#include <set>

#include <fmt/format.h>

namespace loftline {
namespace {

namespace fs = std::filesystem;

const std::vector<std::string> kRequired = {"clip", "survey", "design", "launch", "mass_g", "diameter_mm"};
const std::vector<std::string> kOptional = {
    "mass_std_g", "diameter_std_mm", "tape_range_m", "tape_range_std_m", "skip", "note"};

// Wide enough for whatever is blown from a tube, narrow enough to catch kilograms, and inches for millimetres.
constexpr double kLightestG = 0.1, kHeaviestG = 1000.0;
constexpr double kThinnestMm = 1.0, kThickestMm = 500.0;
constexpr double kFarthestM = 1000.0;
constexpr double kTapeStdM = 0.05;  // of a landing place on grass that somebody walked to; our own judgement

class TableReader {
 public:
  TableReader(const CsvTable& csv, DayTableReading* reading) : csv_(csv), reading_(reading) {
    for (const std::string& column : csv.columns) {
      if (!std::ranges::count(kRequired, column) && !std::ranges::count(kOptional, column)) {
        reading->table.variables.push_back(column);
        CheckVariable(column);
      }
    }
    weighed_ = AnyCell("mass_g");
    measured_ = AnyCell("diameter_mm");
  }

  void Read(const CsvRow& row) {
    row_ = &row;
    DayRow read;
    read.line = row.line;
    read.clip = csv_.Cell(row, "clip");
    read.survey = csv_.Cell(row, "survey");
    read.design = csv_.Cell(row, "design");
    read.launch = csv_.Cell(row, "launch");
    read.note = csv_.Cell(row, "note");
    for (const std::string& name : reading_->table.variables) read.variables.push_back(csv_.Cell(row, name));
    const fs::path folder = reading_->table.file.parent_path();
    read.clip_path = folder / read.clip;
    read.survey_path = folder / read.survey;
    read.skip = ReadSkip();
    if (!read.skip) {
      ReadRocket(&read);
      CheckNames(read);
      CheckFiles(read);
    }
    reading_->table.rows.push_back(std::move(read));
  }

 private:
  // A slip of the keyboard would make a design variable of a measurement.
  void CheckVariable(const std::string& column) {
    std::vector<std::string> free = kOptional;
    std::erase_if(free, [&](const std::string& name) {
      const bool too_short = name.find('_') == std::string::npos;  // "nose" is no slip for "note"
      return too_short || csv_.Column(name).has_value();
    });
    const std::optional<std::string> near = NearestWord(column, free);
    if (!near) return;
    const CsvRow header{1, {}};
    reading_->problems.push_back(csv_.ErrorAt(header,
                                              column,
                                              fmt::format("The column {} is nearly {}.", Quoted(column), Quoted(*near)),
                                              "Correct its name, or call a design variable something else."));
  }

  bool AnyCell(const char* column) const {
    return std::ranges::any_of(csv_.rows, [&](const CsvRow& row) { return !csv_.Cell(row, column).empty(); });
  }

  void Tell(const char* column, const std::string& message, const std::string& advice) {
    reading_->problems.push_back(csv_.ErrorAt(*row_, column, message, advice));
  }

  bool ReadSkip() {
    const std::string word = LowerCase(csv_.Cell(*row_, "skip"));
    if (word.empty() || word == "0" || word == "no" || word == "false") return false;
    if (word == "1" || word == "yes" || word == "true" || word == "x") return true;
    Tell("skip",
         Quoted(word) + " is neither yes nor no.",
         "Write yes to leave the launch out, or leave the cell empty.");
    return false;
  }

  // A number within bounds; nothing where there is none or a bad one, which is then told.
  std::optional<double> Within(const char* column, double least, double most, const char* unit) {
    const Expected<std::optional<double>> number = csv_.NumberOrNothing(*row_, column);
    if (!number) {
      reading_->problems.push_back(number.error());
      return std::nullopt;
    }
    if (!*number || (**number >= least && **number <= most)) return *number;
    Tell(column,
         fmt::format("{:g} {} cannot be.", **number, unit),
         fmt::format("It must be from {:g} to {:g} {}.", least, most, unit));
    return std::nullopt;
  }

  // A column that is empty in every row was not measured at all; one that is empty here was forgotten.
  std::optional<Measured> Required(
      const char* column, const char* std_column, bool given, double least, double most, double std, const char* unit) {
    if (given && csv_.Cell(*row_, column).empty()) {
      Tell(column, "A number is missing.", "Fill the cell, or leave the column empty in every row.");
    }
    const std::optional<double> value = Within(column, least, most, unit);
    const std::optional<double> stated = Within(std_column, 1e-6 * least, most, unit);
    if (!value) return std::nullopt;
    return Measured{*value, stated.value_or(std * *value)};
  }

  void ReadRocket(DayRow* read) {
    if (const auto mass = Required("mass_g", "mass_std_g", weighed_, kLightestG, kHeaviestG, kMassRelativeStd, "g")) {
      read->mass_kg = Measured{1e-3 * mass->value, 1e-3 * mass->std};
    }
    if (const auto diameter = Required(
            "diameter_mm", "diameter_std_mm", measured_, kThinnestMm, kThickestMm, kDiameterRelativeStd, "mm")) {
      read->diameter_m = Measured{1e-3 * diameter->value, 1e-3 * diameter->std};
    }
    const std::optional<double> taped_m = Within("tape_range_m", 0.0, kFarthestM, "m");
    const std::optional<double> taped_std_m = Within("tape_range_std_m", 1e-4, kFarthestM, "m");
    if (taped_m) read->tape_range_m = Measured{*taped_m, taped_std_m.value_or(kTapeStdM)};
  }

  void CheckNames(const DayRow& read) {
    for (const char* column : {"clip", "survey", "design", "launch"}) {
      if (csv_.Cell(*row_, column).empty()) Tell(column, "The cell is empty.", "Fill it, or write yes under skip.");
    }
    if (read.design.empty() || read.launch.empty()) return;
    const auto [twin, fresh] = launches_.emplace(std::pair(read.design, read.launch), read.line);
    if (fresh) return;
    Tell("launch",
         fmt::format(
             "Launch {} of {} stands in line {} already.", Quoted(read.launch), Quoted(read.design), twin->second),
         "Give each launch of a design a number of its own.");
  }

  void CheckFiles(const DayRow& read) {
    if (!read.clip.empty()) CheckClip(read);
    if (read.survey.empty()) return;
    const auto [known, fresh] = surveys_.emplace(read.survey, std::nullopt);
    if (fresh) {
      if (const Expected<Survey> survey = ReadSurvey(read.survey_path); !survey) known->second = survey.error();
    }
    if (!known->second) return;
    Error error = *known->second;  // told in every row that uses it, and pointing into the table
    error.message = Quoted(read.survey) + ": " + (error.key.empty() ? "" : error.key + ": ") + error.message;
    Tell("survey", error.message, error.advice);
  }

  void CheckClip(const DayRow& read) {
    std::error_code problem;
    if (!fs::is_regular_file(read.clip_path, problem)) {
      Tell("clip",
           fmt::format("There is no file {}.", Quoted(read.clip)),
           "Name it as seen from the table's folder, or write yes under skip.");
      return;
    }
    if (!std::ifstream(read.clip_path)) {
      Tell("clip", fmt::format("The file {} may not be read.", Quoted(read.clip)), "See to its permissions.");
      return;
    }
    const auto [twin, fresh] = clips_.emplace(fs::weakly_canonical(read.clip_path, problem), read.line);
    if (fresh) return;
    Tell("clip",
         fmt::format("The clip {} stands in line {} already.", Quoted(read.clip), twin->second),
         "One row for each clip: a clip holds one launch.");
  }

  const CsvTable& csv_;
  DayTableReading* reading_;
  const CsvRow* row_ = nullptr;
  bool weighed_ = false, measured_ = false;
  std::map<std::pair<std::string, std::string>, int> launches_;
  std::map<fs::path, int> clips_;
  std::map<std::string, std::optional<Error>> surveys_;
};

}  // namespace

Expected<DayTableReading> ReadDayTable(const fs::path& path) {
  const Expected<CsvTable> csv = ReadCsv(path, {kRequired, kOptional, true});
  if (!csv) return csv.error();
  const Expected<std::string> sha256 = Sha256OfFile(path);
  if (!sha256) return sha256.error();
  DayTableReading reading;
  reading.table.file = path;
  reading.table.sha256 = *sha256;
  TableReader reader(*csv, &reading);
  for (const CsvRow& row : csv->rows) reader.Read(row);
  return reading;
}

}  // namespace loftline
