// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/command_line.h"
#include "app/exit_status.h"
#include "app/messages.h"
#include "app/option_values.h"
#include "app/plan_commands.h"
#include "core/wrap_text.h"
#include "report/format_number.h"
#include "report/terminal_text.h"
#include "study/compare_day.h"
#include "study/compared_quantities.h"
#include "study/launches_needed.h"
#include "study/summary_file.h"

#include <algorithm>
#include <optional>
#include <ostream>
#include <string>
#include <vector>

#include <fmt/format.h>

namespace loftline {
namespace {

struct CountOptions {
  std::vector<std::string> folders;
  std::string difference;
  std::optional<std::string> quantity, power, variable;
};

// The difference in the quantity's own unit, or as a share of its mean.
void ReadDifference(const std::string& text, const std::string& unit, OptionValues* values, LaunchesRequest* request) {
  const char* option = "--difference";
  std::optional<double> value;
  request->relative = text.find('%') != std::string::npos;
  if (request->relative) {
    values->Put(option, text, Dimension::kFraction, 1.0, &value);
  } else if (unit == "m") {
    values->Put(option, WithUsualUnit(text, "m"), Dimension::kLength, 1.0, &value);
  } else if (unit == "s") {
    values->Put(option, WithUsualUnit(text, "s"), Dimension::kTime, 1.0, &value);
  } else if (unit == "m/s") {
    values->Put(option, WithUsualUnit(text, "m/s"), Dimension::kSpeed, 1.0, &value);
  } else if (unit == "°") {
    values->Put(option, WithUsualUnit(text, "deg"), Dimension::kAngle, DegFromRad(1.0), &value);
  } else {
    value = values->Number(option, text);
  }
  request->difference = value.value_or(0.0);
}

// The unit of a quantity by its key; nothing for one that nobody knows, which CountLaunches tells.
std::string UnitOf(const std::string& key) {
  const auto kind = std::ranges::find_if(QuantityKinds(), [&](const QuantityKind& each) { return each.key == key; });
  return kind == QuantityKinds().end() ? "m" : kind->unit;
}

Expected<LaunchesRequest> ReadRequest(const CountOptions& options) {
  OptionValues values;
  LaunchesRequest request;
  request.quantity = options.quantity.value_or(request.quantity);
  if (options.power) {
    const bool percent = options.power->find('%') != std::string::npos;
    const std::optional<Quantity> power =
        values.Take("--power", options.power, percent ? Dimension::kFraction : Dimension::kPureNumber);
    if (power) request.power = power->value;
  }
  ReadDifference(options.difference, UnitOf(request.quantity), &values, &request);
  if (Status status = values.Finish(); !status) return status.error();
  return request;
}

Expected<Comparison> CompareFolders(const CountOptions& options) {
  std::vector<DaySummary> days;
  for (const std::string& folder : options.folders) {
    Expected<DaySummary> day = ReadSummary(folder);
    if (!day) return day.error();
    days.push_back(*std::move(day));
  }
  CompareOptions compare;
  compare.variable = options.variable;
  return CompareDays(days, compare);
}

std::string CountText(const LaunchesNeeded& needed) {
  const auto in_unit = [&](double value) { return WithUnit(FormatPlain(value, 3), needed.unit); };
  const auto row = [](const char* label, const std::string& text) {
    return fmt::format("  {:<14}{}", label, Wrapped(text, 16).substr(16));
  };
  std::string text = Wrapped(needed.sentence, 0) + "\n";
  text += row("quantity", fmt::format("{}, {} on average", needed.label, in_unit(needed.mean)));
  text += row("spread",
              fmt::format("{} from launch to launch (95 %: {} to {}, from {} degrees of freedom)",
                          in_unit(needed.spread),
                          FormatPlain(needed.spread_low_95, 3),
                          in_unit(needed.spread_high_95),
                          needed.dof));
  if (needed.designs.size() > 2) {
    text += row("strictness",
                fmt::format("{} designs are compared at once, so that chance has more pairs to play with; the count "
                            "allows for it",
                            needed.designs.size()));
  }
  text += fmt::format("\n  {}{:>6}{:>13}\n", PaddedRight("design", 30), "used", "more needed");
  for (const LaunchesNeeded::Design& design : needed.designs) {
    const std::string name = WithoutControls(design.name);
    text += fmt::format("  {}{:>6}{:>13}\n",
                        PaddedRight(Shortened(name, 29), 30),
                        design.used,
                        design.more_needed ? fmt::format("{}", *design.more_needed) : "too many");
  }
  if (!needed.launches_each) {
    text += "\n" + Wrapped(
                       "No day holds so many launches: ask for a larger difference, or find out what makes launches "
                       "of one design differ so much.",
                       0);
  } else if (std::ranges::any_of(needed.designs,
                                 [](const auto& design) { return design.more_needed.value_or(0) > 0; })) {
    text +=
        "\n" + Wrapped(fmt::format("The interval is wide because {} flights say little of a spread; look again after "
                                   "the next few. 'loftline plan --designs' shuffles the launches of a new day.",
                                   needed.dof + static_cast<int>(needed.designs.size())),
                       0);
  } else {
    text += "\nThis day has enough launches for that.\n";
  }
  return text + "\n" + SafetyLines();
}

}  // namespace

int RunPlanCount(std::span<const std::string> arguments, Streams io, const RunControl& /*control*/) {
  CountOptions options;
  CommandLine line("plan",
                   "Says how many launches of each design it takes to tell a difference, judged by how much the "
                   "launches of a measured day differed.",
                   "  loftline plan --from results --difference \"2 m\"\n"
                   "  loftline plan --from results --quantity drag_coefficient \\\n"
                   "      --difference \"10 %\" --power 0.9");
  line.Several("--from", &options.folders, "Folders of measured days, as 'loftline batch' made them");
  line.Required("--difference", &options.difference, "To be told: \"2 m\", or a share of the mean: \"5 %\"");
  line.Optional("--quantity", &options.quantity, "What is compared (default standard_range_m)");
  line.Optional("--power", &options.power, "How often the difference is to be told (default 0.8)");
  line.Optional("--variable", &options.variable, "Group the flights by this design variable instead of the design");
  if (const std::optional<int> over = line.Parse(arguments, io)) return *over;

  const Expected<LaunchesRequest> request = ReadRequest(options);
  if (!request) return TellError(request.error(), line.json(), io);
  const Expected<Comparison> comparison = CompareFolders(options);
  if (!comparison) return TellError(comparison.error(), line.json(), io);
  const Expected<LaunchesNeeded> needed = CountLaunches(*comparison, *request);
  if (!needed) return TellError(needed.error(), line.json(), io);
  if (line.json()) return PrintJson(LaunchesAsJson(*needed, options.folders), kExitMeasured, io);
  io.out << CountText(*needed);
  return kExitMeasured;
}

}  // namespace loftline
