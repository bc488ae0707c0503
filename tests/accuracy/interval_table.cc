// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/interval_table.h"

#include "tests/accuracy/clip_comparison.h"

#include <fmt/format.h>

namespace loftline::accuracy {
namespace {

constexpr const char* kHeads = "         speed          angle           drag         apogee          range\n";

std::string InsideCell(const CoverageFigures& figures) {
  return fmt::format(
      "{:4} of {:4}{}", figures.inside, figures.count, figures.p_value < IntervalGoals{}.least_p_value ? " *" : "  ");
}

std::string InsideRow(const std::string& name, const std::vector<JudgedFlight>& flights) {
  std::string row = fmt::format("{:<14}", name);
  for (const std::string& quantity : CountedQuantities())
    row += fmt::format("{:>15}", InsideCell(CoverageOf(flights, quantity)));
  return row + "\n";
}

template <typename Cell>
std::string Block(const std::string& title, const std::vector<JudgedFlight>& flights, const Cell& cell) {
  std::string text = fmt::format("{:<14}{}", title, kHeads);
  const auto add = [&](const std::string& name, const std::vector<JudgedFlight>& group) {
    text += fmt::format("{:<14}", name);
    for (const std::string& quantity : CountedQuantities())
      text += fmt::format("{:>15}", cell(CoverageOf(group, quantity)));
    text += "\n";
  };
  for (const std::string& kind : KindsOf(flights)) add(kind, OfKind(flights, kind));
  add("all", flights);
  return text;
}

std::string VerdictRow(const std::string& name, const std::vector<JudgedFlight>& flights) {
  const VerdictFigures figures = VerdictsOf(flights);
  std::string row = fmt::format("{:<14}{:6}{:10}{:9}{:9}{:9}{:9}{:9}  ",
                                name,
                                figures.flights,
                                figures.measured,
                                figures.accepted,
                                figures.caution,
                                figures.refused,
                                figures.no_result,
                                figures.wrongly_cautioned);
  for (const auto& [code, count] : figures.codes) row += fmt::format(" {} {}", code, count);
  return row + "\n";
}

}  // namespace

std::string CoverageTable(const std::vector<JudgedFlight>& flights) {
  std::string text = fmt::format("{:<14}{}", "inside 95 %", kHeads);
  for (const std::string& kind : KindsOf(flights)) text += InsideRow(kind, OfKind(flights, kind));
  text += InsideRow("all", flights);
  text += fmt::format("{:<14}", "share, %");
  int inside = 0, count = 0;
  for (const std::string& quantity : CountedQuantities()) {
    const CoverageFigures figures = CoverageOf(flights, quantity);
    text += fmt::format("{:>15}", fmt::format("{:.1f}  ", 100 * figures.share()));
    inside += figures.inside;
    count += figures.count;
  }
  return text + fmt::format("\n*: of a chance of 95 % less probable than 0.01. All five together: {:.1f} %.\n",
                            count > 0 ? 100.0 * inside / count : 0.0);
}

std::string ErrorTable(const std::vector<JudgedFlight>& flights) {
  std::string text = Block("(err/std)^2", flights, [](const CoverageFigures& figures) {
    return fmt::format("{:.2f}", figures.mean_squared_std);
  });
  text += "\n" + Block("RMS/half, %", flights, [](const CoverageFigures& figures) {
            return fmt::format("{:.2f}/{:5.2f}", 100 * figures.rms_relative, 100 * figures.median_half_width);
          });
  if (CoverageOf(flights, "launch_speed_m_s").rms_over_bound > 0.0) {
    text += "\n" + Block("RMS/bound", flights, [](const CoverageFigures& figures) {
              return figures.rms_over_bound > 0.0 ? fmt::format("{:.2f}", figures.rms_over_bound) : std::string("-");
            });
  }
  return text + "half: median half-width of the 95 % interval.\n";
}

std::string VerdictTable(const std::vector<JudgedFlight>& flights) {
  std::string text = "verdicts      flights  measured accepted  caution  refused   broken  wrongly   codes\n";
  for (const std::string& kind : KindsOf(flights)) text += VerdictRow(kind, OfKind(flights, kind));
  return text + VerdictRow("all", flights) +
         "wrongly: sound flights with a caution that nothing on the clip calls for.\n";
}

}  // namespace loftline::accuracy
