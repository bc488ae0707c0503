// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/validate_many.h"

#include "fit/read_result.h"
#include "fit/simulator/read_simulated_flight.h"
#include "fit/simulator/validate_flight.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <exception>
#include <functional>
#include <map>
#include <mutex>
#include <optional>
#include <set>
#include <thread>

#include <fmt/format.h>

namespace loftline {
namespace {

// Calls WORK(0) .. WORK(COUNT - 1) on THREADS threads, ours among them, which alone reports; an exception is thrown on
// when all have ended. Whether nobody asked to stop.
bool OnThreads(std::size_t count,
               int threads,
               const RunControl& control,
               const std::function<void(std::size_t)>& work) {
  std::atomic<std::size_t> next = 0, done = 0;
  std::exception_ptr thrown;
  std::mutex throwing;
  const auto run = [&](bool reports) {
    try {
      for (std::size_t i = next++; i < count && !control.stop.stop_requested(); i = next++) {
        work(i);
        const double fraction = static_cast<double>(++done) / static_cast<double>(count);
        if (reports && control.on_progress) control.on_progress(fraction);
      }
    } catch (...) {
      const std::lock_guard<std::mutex> lock(throwing);
      thrown = std::current_exception();
      next = count;
    }
  };
  {
    std::vector<std::jthread> others;
    const std::size_t workers = std::min<std::size_t>(static_cast<std::size_t>(std::max(threads, 1)), count);
    for (std::size_t i = 1; i < workers; ++i) others.emplace_back(run, false);
    run(true);
  }
  if (thrown) std::rethrow_exception(thrown);
  return !control.stop.stop_requested();
}

Expected<SimulatedFlight> Read(const SimulatorSource& source) {
  Expected<SimulatedFlight> flight = ReadSimulatedFlight(source.file, source.columns);
  if (flight) ApplyBand(source.band, *flight);
  return flight;
}

// Equal for all the names of one file.
std::string FileKey(const std::filesystem::path& file) {
  std::error_code problem;
  const std::filesystem::path canonical = std::filesystem::weakly_canonical(file, problem);
  return problem ? file.string() : canonical.string();
}

// Equal for sources that give the same flight.
std::string KeyOf(const SimulatorSource& source) {
  std::string key = FileKey(source.file);
  for (const ColumnChoice& choice : source.columns) {
    key += fmt::format("\n{}={}[{}]", ColumnRoleName(choice.role), choice.column, choice.unit.value_or(""));
  }
  const SimulatorBand& band = source.band;
  return key +
         fmt::format(
             "\n{} {} {}", band.relative.value_or(0.0), band.length_m.value_or(0.0), band.speed_m_s.value_or(0.0));
}

// Equal for flights whose comparison comes out the same.
std::string KeyOf(const FlightToValidate& flight) {
  const ValidationOptions& options = flight.options;
  return FileKey(flight.result) + "\n" + KeyOf(flight.simulator) +
         fmt::format("\n{} {} {} {}",
                     AlignName(options.align),
                     options.simulator_launch_s.value_or(NAN),
                     options.launch_as_measured,
                     options.matters);
}

// Each once, in the order in which they are named first.
std::vector<FlightToValidate> EachOnce(const std::vector<FlightToValidate>& flights) {
  std::set<std::string> known;
  std::vector<FlightToValidate> once;
  for (const FlightToValidate& flight : flights) {
    if (known.insert(KeyOf(flight)).second) once.push_back(flight);
  }
  return once;
}

Finding NamedTwice(std::size_t names, std::size_t flights) {
  return {"named-twice",
          Severity::kNote,
          fmt::format("{} of the {} comparisons asked for {} the same result beside the same simulation as another: "
                      "each counts once.",
                      names - flights,
                      names,
                      names - flights == 1 ? "has" : "have"),
          "Nothing needs doing; name each result once, by itself or by its folder."};
}

class Validator {
 public:
  explicit Validator(const std::vector<FlightToValidate>& flights) : flights_(flights) {
    for (const FlightToValidate& flight : flights) {
      const auto [at, is_new] = tables_of_.emplace(KeyOf(flight.simulator), sources_.size());
      if (is_new) sources_.push_back(&flight.simulator);
      table_of_flight_.push_back(at->second);
    }
    tables_.resize(sources_.size());
    outcomes_.resize(flights.size());
  }

  std::size_t tables() const { return sources_.size(); }
  void ReadTable(std::size_t i) { tables_[i] = Read(*sources_[i]); }

  void Validate(std::size_t i) {
    const FlightToValidate& flight = flights_[i];
    outcomes_[i] = Compare(flight, *tables_[table_of_flight_[i]]);
  }

  Expected<ValidationDocument> Document() {
    ValidationDocument document;
    for (std::size_t i = 0; i < flights_.size(); ++i) {
      Expected<ValidatedFlight>& outcome = *outcomes_[i];
      if (outcome) {
        document.flights.push_back(std::move(*outcome));
      } else {
        document.left_out.push_back(
            {flights_[i].result.string(), flights_[i].simulator.file.string(), outcome.error()});
      }
    }
    if (document.flights.empty()) return Nothing(document.left_out);
    document.bias = FindBias(document.flights);
    return document;
  }

 private:
  static Expected<ValidatedFlight> Compare(const FlightToValidate& flight, const Expected<SimulatedFlight>& table) {
    if (!table) return table.error();
    const Expected<FlightResult> result = ReadResult(flight.result);
    if (!result) return IsNamedAsOne(flight.result) ? result.error() : NoResult(flight.result, result.error());
    Expected<FlightValidation> validation = ValidateFlight(*result, *table, flight.options);
    if (!validation) {
      Error error = validation.error();
      if (error.file.empty() && error.key.empty()) error.file = flight.result.string();
      return error;
    }
    validation->result_file = flight.result.string();
    if (IsFromFootage(*validation, *table, flight)) validation->findings.push_back(PredictedFromFootage());
    return AsValidated(std::move(*validation), *result);
  }

  static bool IsNamedAsOne(const std::filesystem::path& file) { return file.extension() == ".json"; }

  // A clip, a track or a report in its place: what is wrong with them as JSON helps nobody.
  static Error NoResult(const std::filesystem::path& file, const Error& error) {
    if (error.code == "cannot-read") return error;
    return {ErrorKind::kInvalidInput,
            "bad-json",
            "This is no result of a measured flight.",
            "Name the file that ends in .result.json; 'loftline measure' writes it.",
            file.string()};
  }

  // With the launch untested it is a fair test of another drag, but none of the footage's own.
  static bool IsFromFootage(const FlightValidation& validation,
                            const SimulatedFlight& table,
                            const FlightToValidate& flight) {
    if (std::filesystem::path(table.predicted_from).filename() != flight.result.filename()) return false;
    constexpr double kSameDrag = 0.005;
    const DragSideBySide& drag = validation.drag;
    const bool same =
        drag.simulated_per_m > 0.0 && std::abs(std::log(drag.simulated_per_m / drag.measured_per_m.value)) < kSameDrag;
    return same || !validation.options.launch_as_measured;
  }

  // A prediction of Loftline's own, which has in it what it is checked against.
  static Finding PredictedFromFootage() {
    return {
        "simulator-from-footage",
        Severity::kCaution,
        "The table was predicted from this very result: what was not changed there is the footage's own, and agrees "
        "by itself.",
        "Predict from a speed, an angle and a drag that were not taken from this clip; or say --launch measured, and "
        "look at the drag alone."};
  }

  static Error Nothing(const std::vector<UnvalidatedFlight>& left_out) {
    if (left_out.empty()) return {ErrorKind::kUsage, "bad-usage", "There is no flight to compare.", "Name a result."};
    const auto unreadable = std::ranges::find_if(
        left_out, [](const UnvalidatedFlight& flight) { return flight.error.kind != ErrorKind::kRefused; });
    return unreadable != left_out.end() ? unreadable->error : left_out.front().error;
  }

  const std::vector<FlightToValidate>& flights_;
  std::map<std::string, std::size_t> tables_of_;
  std::vector<const SimulatorSource*> sources_;
  std::vector<std::size_t> table_of_flight_;
  std::vector<std::optional<Expected<SimulatedFlight>>> tables_;
  std::vector<std::optional<Expected<ValidatedFlight>>> outcomes_;
};

}  // namespace

Expected<ValidationDocument> ValidateMany(const std::vector<FlightToValidate>& named,
                                          int threads,
                                          const RunControl& control) {
  const std::vector<FlightToValidate> flights = EachOnce(named);
  Validator validator(flights);
  const bool finished =
      OnThreads(validator.tables(), threads, {control.stop, {}}, [&](std::size_t i) { validator.ReadTable(i); }) &&
      OnThreads(flights.size(), threads, control, [&](std::size_t i) { validator.Validate(i); });
  if (!finished) {
    return Error{ErrorKind::kCancelled, "cancelled", "Stopped before all flights were compared.", "Run it again."};
  }
  Expected<ValidationDocument> document = validator.Document();
  if (document && flights.size() < named.size()) {
    document->bias.findings.push_back(NamedTwice(named.size(), flights.size()));
  }
  return document;
}

}  // namespace loftline
