// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// What the numbers rest on: the error budget, what was measured and what was assumed.
#include "report/answers.h"
#include "report/format_number.h"
#include "report/html_text.h"
#include "report/page_sections.h"
#include "report/shown_budget.h"

#include <fmt/format.h>

namespace loftline {
namespace {

struct Row {
  std::string name, value;
};

std::string RowsHtml(const std::vector<Row>& rows) {
  std::string html;
  for (const Row& row : rows) {
    html += fmt::format(R"(<tr><th scope="row">{}</th><td>{}</td></tr>)", EscapeHtml(row.name), EscapeHtml(row.value));
  }
  return html;
}

std::string TableHtml(const char* caption, const std::vector<Row>& rows) {
  if (rows.empty()) return "";
  return fmt::format("<table><caption>{}</caption><tbody>{}</tbody></table>", caption, RowsHtml(rows));
}

std::string BudgetRow(const ShownBudgetLine& line) {
  const double percent = 100.0 * line.share;
  return fmt::format(
      R"(<tr><th scope="row">{}</th><td>{}</td><td class="share"><span class="bar" style="--share:{:.1f}%"></span>{}</td></tr>)",
      EscapeHtml(line.source),
      line.std,
      percent,
      percent < 1.0 ? "&lt; 1 %" : fmt::format("{:.0f} %", percent));
}

std::string BudgetTable(const Answer& answer, const std::vector<BudgetLine>& all) {
  const std::vector<ShownBudgetLine> lines = ShownBudget(all);
  std::string rows;
  for (const ShownBudgetLine& line : lines) rows += BudgetRow(line);
  const std::string unit = answer.unit.empty() ? "std" : "std, " + answer.unit;
  const std::string hint =
      lines.empty() || lines.front().advice.empty()
          ? std::string()
          : fmt::format(R"(<p class="hint">Sharpest gain: {}.</p>)", EscapeHtml(lines.front().advice));
  return fmt::format(
      R"(<div><table class="budget"><caption>{}</caption><thead><tr><th scope="col">source</th><th scope="col">{}</th>)"
      R"(<th scope="col">share</th></tr></thead><tbody>{}</tbody></table>{}</div>)",
      EscapeHtml(answer.label),
      EscapeHtml(unit),
      rows,
      hint);
}

std::string Optional(const std::optional<double>& value, const std::optional<double>& std, const char* unit) {
  return FormatMeasured({*value, std.value_or(0.0)}, unit);
}

const char* LiesWord(Lies lies) {
  switch (lies) {
    case Lies::kLevel:
      return "level";
    case Lies::kPlumb:
      return "plumb";
    case Lies::kFree:
      return "free";
  }
  return "";
}

void AddMarks(const Survey& survey, std::vector<Row>& rows) {
  int lines = 0;
  int points = 0;
  for (const Mark& mark : survey.marks) {
    if (const auto* baseline = std::get_if<BaselineMark>(&mark)) {
      std::string text = Optional(baseline->length_m, baseline->length_std_m, "m");
      if (baseline->lies != Lies::kFree) text += fmt::format(", {}", LiesWord(baseline->lies));
      rows.push_back({"known length", std::move(text)});
    }
    lines += std::holds_alternative<LineMark>(mark) ? 1 : 0;
    points += std::holds_alternative<PointMark>(mark) ? 1 : 0;
  }
  if (lines > 0) rows.push_back({"level and plumb lines", std::to_string(lines)});
  if (points > 0) rows.push_back({"points of known place", std::to_string(points)});
}

std::vector<Row> SurveyRows(const FlightResult& result) {
  const Survey& survey = result.survey;
  std::vector<Row> rows;
  AddMarks(survey, rows);
  const CameraEvidence& camera = survey.camera;
  if (camera.distance_m)
    rows.push_back({"camera to flight plane", Optional(camera.distance_m, camera.distance_std_m, "m")});
  if (camera.horizontal_view_deg) {
    rows.push_back({"view angle", Optional(camera.horizontal_view_deg, camera.horizontal_view_std_deg, "°")});
  }
  if (camera.tilt_deg) rows.push_back({"camera tilt", Optional(camera.tilt_deg, camera.tilt_std_deg, "°")});
  if (camera.roll_deg) rows.push_back({"camera roll", Optional(camera.roll_deg, camera.roll_std_deg, "°")});
  if (survey.launch.height_above_landing_m) {
    rows.push_back(
        {"launch point above landing", WithUnit(FormatPlain(*survey.launch.height_above_landing_m, 4), "m")});
  }
  if (result.mass_kg)
    rows.push_back({"mass", FormatMeasured({1e3 * result.mass_kg->value, 1e3 * result.mass_kg->std}, "g")});
  if (result.diameter_m) {
    rows.push_back({"diameter", FormatMeasured({1e3 * result.diameter_m->value, 1e3 * result.diameter_m->std}, "mm")});
  }
  return rows;
}

std::string LeadOver(const PathChoice& choice) {
  if (!choice.runner_up) return "nothing else flies";
  const std::string lead = fmt::format("{:.0f} %", 100 * choice.Margin());
  if (choice.settled_by == SettledBy::kLaunchPoint) return lead + ", settled by the launch point";
  return choice.settled_by == SettledBy::kMarks ? lead + ", settled by marked frames" : lead;
}

std::vector<Row> ClipRows(const FlightResult& result) {
  const ClipInfo& clip = result.clip;
  std::vector<Row> rows;
  if (clip.width_px > 0) rows.push_back({"picture", fmt::format("{} × {} px", clip.width_px, clip.height_px)});
  if (clip.duration_s > 0.0) {
    rows.push_back({"length", fmt::format("{} frames, {} s", clip.frames, FormatPlain(clip.duration_s, 4))});
  }
  if (clip.stored_rate_hz > 0.0)
    rows.push_back({"frame rate", WithUnit(FormatPlain(clip.stored_rate_hz, 5), "frames/s")});
  if (result.choice) rows.push_back({"lead over the next path", LeadOver(*result.choice)});
  if (result.readout_s.value > 0.0) {
    rows.push_back(
        {"sensor readout", FormatMeasured({1e3 * result.readout_s.value, 1e3 * result.readout_s.std}, "ms")});
  }
  if (result.scale_m_per_px_at_launch.value > 0.0) {
    const Measured& scale = result.scale_m_per_px_at_launch;
    rows.push_back({"scale at launch", FormatMeasured({1e3 * scale.value, 1e3 * scale.std}, "mm/px")});
  }
  return rows;
}

std::vector<Row> FitRows(const FlightResult& result) {
  std::vector<Row> rows;
  if (result.seen_points > 0) rows.push_back({"positions used", std::to_string(result.seen_points)});
  if (result.residual_rms_px > 0.0)
    rows.push_back({"misfit (rms)", WithUnit(FormatPlain(result.residual_rms_px, 2), "px")});
  if (result.dof > 0) {
    rows.push_back(
        {"chi-square", fmt::format("{} with {} degrees of freedom", FormatPlain(result.chi2, 4), result.dof)});
  }
  if (result.gravity_ruler) {
    rows.push_back({"length by gravity / by survey", FormatMeasured(result.gravity_ruler->length_ratio, "")});
    const Measured& scale = result.gravity_ruler->scale_m_per_px_at_launch;
    rows.push_back({"scale at launch by gravity", FormatMeasured({1e3 * scale.value, 1e3 * scale.std}, "mm/px")});
  }
  if (result.air_density_kg_per_m3 > 0.0) {
    rows.push_back({"air density", WithUnit(FormatPlain(result.air_density_kg_per_m3, 4), "kg/m³")});
  }
  if (result.gravity_m_per_s2 > 0.0)
    rows.push_back({"gravity", WithUnit(FormatPlain(result.gravity_m_per_s2, 4), "m/s²")});
  if (result.wind_along_m_s.std > 0.0)
    rows.push_back({"wind along the flight", FormatMeasured(result.wind_along_m_s, "m/s")});
  return rows;
}

}  // namespace

std::string BudgetSection(const FlightResult& result) {
  std::string tables;
  for (const Answer& answer : Answers(result)) {
    const bool wanted = answer.main || answer.key == "drag_coefficient" || answer.key == "drag_per_m";
    const auto lines = result.budget.find(answer.key);
    if (wanted && answer.estimate && lines != result.budget.end() && !lines->second.empty()) {
      tables += BudgetTable(answer, lines->second);
    }
  }
  if (tables.empty()) return "";
  return fmt::format(
      R"(<section class="budgets" aria-labelledby="h-budget"><h2 id="h-budget">Where the uncertainty comes from</h2>)"
      R"(<p class="hint">Largest first, as one standard uncertainty (std). To get a sharper number, mend what stands on top.</p>)"
      R"(<div class="tables">{}</div></section>)",
      tables);
}

std::string BasisSection(const FlightResult& result) {
  std::vector<Row> assumed;
  for (const Assumed& one : result.assumed) assumed.push_back({one.what, one.value});
  const std::string tables = TableHtml("Measured by you", SurveyRows(result)) +
                             TableHtml("Assumed, as nobody said", assumed) + TableHtml("The clip", ClipRows(result)) +
                             TableHtml("The fit", FitRows(result));
  if (tables.empty()) return "";
  return fmt::format(
      R"(<section class="basis" aria-labelledby="h-basis"><h2 id="h-basis">What the numbers rest on</h2>)"
      R"(<div class="tables">{}</div><p class="hint">In these tables ± is one standard uncertainty.</p></section>)",
      tables);
}

}  // namespace loftline
