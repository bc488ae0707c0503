// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/prediction/prediction_findings.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr double kBallCurveEnds = 1e6;  // fit/sphere_drag.h

struct Range {
  double low = std::numeric_limits<double>::infinity(), high = 0.0;
};

Range ReynoldsOf(const FlightSetup& setup, const std::vector<PredictedRow>& rows) {
  Range range;
  for (const PredictedRow& row : rows) {
    const double along_m_per_s = row.velocity_m_per_s.x() - setup.forces.wind_x_m_per_s;
    const double reynolds = setup.forces.reynolds_s_per_m * std::hypot(along_m_per_s, row.velocity_m_per_s.y());
    range.low = std::min(range.low, reynolds);
    range.high = std::max(range.high, reynolds);
  }
  return range;
}

void TakeTable(const FlightSetup& setup, const std::vector<PredictedRow>& rows, std::vector<Finding>* findings) {
  const DragTable& table = *setup.table;
  const bool by_time = table.against() == DragAgainst::kTime;
  const Range flown = by_time ? Range{0.0, rows.back().time_s} : ReynoldsOf(setup, rows);
  const bool below = flown.low<table.at().front(), above = flown.high> table.at().back();
  if (!below && !above) return;
  const std::string ends = below && above ? "its first and its last coefficient were"
                           : below        ? "its first coefficient was"
                                          : "its last coefficient was";
  findings->push_back({"drag-beyond-table",
                       Severity::kNote,
                       by_time
                           ? fmt::format("The drag table goes from {:.3g} to {:.3g} s and the flight from 0 to {:.3g} "
                                         "s: beyond the table {} taken.",
                                         table.at().front(),
                                         table.at().back(),
                                         flown.high,
                                         ends)
                           : fmt::format("The drag table goes from a Reynolds number of {:.3g} to {:.3g} and the "
                                         "flight from {:.3g} to {:.3g}: beyond the table {} taken.",
                                         table.at().front(),
                                         table.at().back(),
                                         flown.low,
                                         flown.high,
                                         ends),
                       "Lengthen the table if the drag changes there; slow flight near the apogee matters little."});
}

void TakeBall(const FlightSetup& setup, const std::vector<PredictedRow>& rows, std::vector<Finding>* findings) {
  const double fastest = ReynoldsOf(setup, rows).high;
  if (!(fastest > kBallCurveEnds)) return;
  findings->push_back(
      {"drag-beyond-table",
       Severity::kCaution,
       fmt::format("The flight reaches a Reynolds number of {:.2g}, and the curve for smooth balls holds "
                   "up to {:.0e}.",
                   fastest,
                   kBallCurveEnds),
       "Give a table of the drag coefficient that goes further."});
}

void TakeMeasured(const FlightResult& from, std::vector<Finding>* findings) {
  std::string codes;
  for (const Finding& finding : from.findings) {
    if (finding.severity != Severity::kNote) codes += (codes.empty() ? "" : ", ") + finding.code;
  }
  if (codes.empty()) return;
  findings->push_back({"starts-from-caution",
                       Severity::kCaution,
                       fmt::format("The flight that this starts from was measured with cautions: {}.", codes),
                       "Read them in its report: what is doubtful there is doubtful here."});
}

}  // namespace

std::vector<Finding> PredictionFindings(const FlightSetup& setup,
                                        const PredictionModel& model,
                                        const FlightResult* from,
                                        const std::vector<PredictedRow>& rows) {
  std::vector<Finding> findings;
  if (from != nullptr) TakeMeasured(*from, &findings);
  if (model.drag_source == DragSource::kTable) TakeTable(setup, rows, &findings);
  if (model.drag_source == DragSource::kBall) TakeBall(setup, rows, &findings);
  return findings;
}

}  // namespace loftline
