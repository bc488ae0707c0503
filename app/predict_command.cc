// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/command_line.h"
#include "app/commands.h"
#include "app/exit_status.h"
#include "app/messages.h"
#include "app/option_values.h"
#include "app/plan_commands.h"
#include "calibrate/survey_defaults.h"
#include "core/atomic_file.h"
#include "core/text.h"
#include "fit/prediction/make_prediction.h"
#include "fit/prediction/prediction_file.h"
#include "fit/read_result.h"
#include "fit/rocket_defaults.h"
#include "report/prediction_plot.h"
#include "report/prediction_text.h"
#include "report/terminal_text.h"

#include <filesystem>
#include <optional>
#include <ostream>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace loftline {
namespace {

namespace defaults = survey_defaults;

constexpr double kZeroCelsiusK = 273.15;
constexpr double kPngPixels = 2.0;  // for each unit of the drawing: sharp on a projector

// "0.02" of "0.02 1/m", "0.02 /m" or "0.02 per m".
std::string NumberPerMetre(std::string_view text) {
  text = Trimmed(text);
  for (const std::string_view unit : {"per m", "/m"}) {
    if (!text.ends_with(unit)) continue;
    std::string_view number = text.substr(0, text.size() - unit.size());
    // The 1 of the unit, not of a number: "0.02 1" but not "0.021", nor "1" by itself.
    if (unit == "/m" && (number.ends_with(" 1") || number.ends_with("\t1"))) number.remove_suffix(1);
    return std::string(Trimmed(number));
  }
  return std::string(text);
}

// A drag per metre as a pure number, with its uncertainty.
std::string WithoutPerMetre(const std::string& text) {
  for (const std::string_view sign : {"+-", "+/-", "±"}) {
    const std::size_t at = text.find(sign);
    if (at == std::string::npos) continue;
    const std::string_view whole = text;
    return NumberPerMetre(whole.substr(0, at)) + " +- " + NumberPerMetre(whole.substr(at + sign.size()));
  }
  return NumberPerMetre(text);
}

class PredictOptions {
 public:
  void AddTo(CommandLine* line) {
    line->Group("Launch (of what is not said to be uncertain, speed, angle and drag are taken as exact)");
    line->Optional("--speed", &speed_, "Launch speed: \"25 m/s +- 0.3 m/s\"");
    line->Optional("--angle", &angle_, "Launch angle above the horizontal: \"60 deg +- 1 deg\"");
    line->Optional("--from", &from_, "Start from a measured flight (RESULT.json); options change what they name");
    line->Group("Rocket");
    line->Optional("--mass", &mass_, "\"8.2 g +- 0.1 g\"; without +- it is taken as good to 1 %");
    line->Optional("--diameter", &diameter_, "Of the body: \"7/8 in\"; without +- it is taken as good to 2 %");
    line->Group("Drag, one of these");
    line->Optional("--drag-coefficient", &drag_coefficient_, "\"0.6 +- 0.05\", with mass and diameter");
    line->Optional("--drag-table", &drag_table_, "A CSV file: drag_coefficient against time_s or reynolds");
    line->Flag("--ball", &ball_, "A smooth ball, whose drag coefficient follows the Reynolds number");
    line->Optional("--drag-per-m", &drag_per_m_, "The drag: \"0.03 1/m +- 0.002 1/m\"");
    line->Optional("--drag-uncertainty",
                   &drag_uncertainty_,
                   "Of a table or a ball's curve as a whole: \"5 %\" (a ball without it: 10 %)");
    line->Group("Air and site (what is left out is usual, with its uncertainty)");
    line->Optional("--wind", &wind_, "Along the launch, with it positive: \"1 m/s +- 0.5 m/s\"");
    line->Optional("--temperature", &temperature_, "\"18 degC\"");
    line->Optional("--pressure", &pressure_, "At the site: \"1009 hPa\"; without: that of the elevation");
    line->Optional("--humidity", &humidity_, "\"60 %\"");
    line->Optional("--elevation", &elevation_, "\"120 m\"");
    line->Optional("--latitude", &latitude_, "\"52 deg\"");
    line->Optional("--height-above-landing", &height_, "Of the launch point above where it lands: \"0.4 m\"");
    line->Group("Output");
    line->Optional("--step", &step_, "From row to row of the path: \"10 ms\" where not given");
    line->Optional("--out", &out, "The path as a CSV file, with standard uncertainties");
    line->Optional("--plot", &plot, "The flight from the side: a file that ends in .svg or .png");
    line->Flag("--explain", &explain, "Also print where each uncertainty comes from");
  }

  // A request without the files that it names.
  PredictionRequest Read(OptionValues* values) const {
    PredictionRequest request;
    request.speed_m_s = Take(values, "--speed", WithUsual(speed_, "m/s"), Dimension::kSpeed, 0.0);
    request.angle_deg = Take(values, "--angle", WithUsual(angle_, "deg"), Dimension::kAngle, 0.0, DegFromRad(1.0));
    request.mass_kg = values->TakePositive("--mass", mass_, Dimension::kMass, kMassRelativeStd);
    request.diameter_m = values->TakePositive("--diameter", diameter_, Dimension::kLength, kDiameterRelativeStd);
    request.drag_coefficient = Take(values, "--drag-coefficient", drag_coefficient_, Dimension::kPureNumber, 0.0);
    const auto drag_per_m = drag_per_m_ ? std::optional(WithoutPerMetre(*drag_per_m_)) : std::nullopt;
    request.drag_per_m = Take(values, "--drag-per-m", drag_per_m, Dimension::kPureNumber, 0.0);
    request.ball = ball_;
    if (const auto share = Take(values, "--drag-uncertainty", drag_uncertainty_, Dimension::kFraction, 0.0)) {
      request.drag_relative_std = share->value;
      if (!(share->value >= 0.0 && share->value < 1.0)) {
        values->Reject("--drag-uncertainty", "It is " + Quoted(*drag_uncertainty_) + ".", "Give it from 0 to 99 %.");
      }
    }
    ReadSite(values, &request);
    std::optional<double> step_s;
    values->Put("--step", step_, Dimension::kTime, 1.0, &step_s);
    request.step_s = step_s.value_or(request.step_s);
    CheckFiles(values);
    return request;
  }

  const std::optional<std::string>& from() const { return from_; }
  const std::optional<std::string>& drag_table() const { return drag_table_; }
  bool PlotIsPng() const { return plot && std::filesystem::path(*plot).extension() == ".png"; }

  std::optional<std::string> out, plot;
  bool explain = false;

 private:
  // STD where the text has none; both in another unit than SI's, PER_SI of it to one of SI.
  static std::optional<Measured> Take(OptionValues* values,
                                      const std::string& option,
                                      const std::optional<std::string>& text,
                                      Dimension dimension,
                                      double std,
                                      double per_si = 1.0) {
    const std::optional<Quantity> quantity = values->Take(option, text, dimension);
    if (!quantity) return std::nullopt;
    return Measured{per_si * quantity->value, quantity->std ? per_si * *quantity->std : std};
  }

  static std::optional<std::string> WithUsual(const std::optional<std::string>& text, const char* unit) {
    return text ? std::optional(WithUsualUnit(*text, unit)) : std::nullopt;
  }

  void ReadSite(OptionValues* values, PredictionRequest* request) const {
    request->wind_along_m_s =
        Take(values, "--wind", WithUsual(wind_, "m/s"), Dimension::kSpeed, defaults::kGivenWindStdMPerS);
    request->temperature_c =
        Take(values, "--temperature", temperature_, Dimension::kTemperature, defaults::kGivenTemperatureStdC);
    if (request->temperature_c) request->temperature_c->value -= kZeroCelsiusK;
    request->pressure_hpa =
        Take(values, "--pressure", pressure_, Dimension::kPressure, defaults::kGivenPressureStdHpa, 0.01);
    request->humidity_percent =
        Take(values, "--humidity", humidity_, Dimension::kFraction, defaults::kGivenHumidityStdPercent, 100.0);
    request->elevation_m = Take(values, "--elevation", elevation_, Dimension::kLength, defaults::kGivenElevationStdM);
    request->latitude_deg =
        Take(values, "--latitude", WithUsual(latitude_, "deg"), Dimension::kAngle, 0.5, DegFromRad(1.0));
    request->height_above_landing_m =
        Take(values, "--height-above-landing", height_, Dimension::kLength, defaults::kGivenHeightStdM);
  }

  void CheckFiles(OptionValues* values) const {
    if (!plot) return;
    const std::filesystem::path ending = std::filesystem::path(*plot).extension();
    if (ending != ".svg" && ending != ".png") {
      values->Reject(
          "--plot", Quoted(*plot) + " ends in neither .svg nor .png.", "Give the file one of the two endings.");
    }
    if (out && *out == *plot) values->Reject("--plot", "It is the file of --out.", "Give another name.");
  }

  std::optional<std::string> speed_, angle_, from_, mass_, diameter_, drag_coefficient_, drag_table_, drag_per_m_,
      drag_uncertainty_, wind_, temperature_, pressure_, humidity_, elevation_, latitude_, height_, step_;
  bool ball_ = false;
};

Expected<Prediction> Predict(const PredictOptions& options, PredictionRequest request) {
  std::optional<FlightResult> from;
  if (options.from()) {
    Expected<FlightResult> result = ReadResult(*options.from());
    if (!result) return result.error();
    from = *std::move(result);
    request.from = &*from;
    request.from_file = *options.from();
  }
  if (options.drag_table()) {
    Expected<DragTableFile> table = ReadDragTable(*options.drag_table());
    if (!table) return table.error();
    request.drag_table = *std::move(table);
  }
  return MakePrediction(request);
}

// All that is to be written is made before anything is.
Status WriteFiles(const PredictOptions& options, const Prediction& prediction, bool json, Streams io) {
  std::vector<std::pair<std::string, std::string>> files;
  if (options.plot) {
    const PaperDrawing drawing = DrawPrediction(prediction);
    Expected<std::string> bytes =
        options.PlotIsPng() ? PaperAsPng(drawing, kPngPixels) : Expected<std::string>(PaperAsSvg(drawing));
    if (!bytes) return bytes.error();
    files.emplace_back(*options.plot, *std::move(bytes));
  }
  if (options.out) files.emplace_back(*options.out, PredictionAsCsv(prediction));
  for (const auto& [path, bytes] : files) {
    if (Status status = WriteFileAtomically(path, bytes); !status) return status;
    if (json && io.err_is_terminal) io.err << "wrote " << path << "\n";
  }
  return Done{};
}

// Last of what is printed, so that it is not lost above the summary.
void TellWritten(const PredictOptions& options, Streams io) {
  if (options.plot || options.out) io.out << "\n";
  for (const std::optional<std::string>& path : {options.plot, options.out}) {
    if (path) io.out << "wrote " << WithoutControls(*path) << "\n";
  }
}

}  // namespace

int RunPredict(std::span<const std::string> arguments, Streams io, const RunControl& /*control*/) {
  PredictOptions options;
  CommandLine line("predict",
                   "Says where a launch would go and how well that is known, from what is known of it.",
                   "  loftline predict --speed \"25 m/s +- 0.3 m/s\" --angle \"60 deg +- 1 deg\" \\\n"
                   "      --mass \"8.2 g\" --diameter \"7/8 in\" --drag-coefficient \"0.6 +- 0.05\" \\\n"
                   "      --out heron.csv --plot heron.svg\n"
                   "  loftline predict --from results/heron-03.result.json --mass \"9 g\"");
  options.AddTo(&line);
  if (const std::optional<int> over = line.Parse(arguments, io)) return *over;

  OptionValues values;
  PredictionRequest request = options.Read(&values);
  if (Status status = values.Finish(); !status) return TellError(status.error(), line.json(), io);
  const Expected<Prediction> prediction = Predict(options, std::move(request));
  if (!prediction) return TellError(prediction.error(), line.json(), io);
  if (Status status = WriteFiles(options, *prediction, line.json(), io); !status) {
    return TellError(status.error(), line.json(), io);
  }
  if (line.json()) return PrintJson(PredictionAsJson(*prediction), kExitMeasured, io);
  io.out << PredictionText(*prediction);
  if (options.explain) io.out << PredictionBudgetText(*prediction);
  TellWritten(options, io);
  return kExitMeasured;
}

}  // namespace loftline
