// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/answers.h"
#include "report/page_assets.h"
#include "report/page_sections.h"
#include "report/page_shell.h"
#include "report/write_report.h"

namespace loftline {
namespace {

std::string Head(const FlightResult& result) {
  return PageHead(ClipTitle(result) + " – Loftline flight report", {page_assets::kPlotCss, page_assets::kReportCss});
}

std::string Scripts() {
  std::string scripts = "<script>/*\n";
  scripts += page_assets::kPlotLicense;  // asks to go wherever the code goes
  scripts += "*/\n";
  scripts += page_assets::kPlotJs;
  scripts += "</script>\n<script>";
  scripts += page_assets::kFlightPlotsJs;
  scripts += page_assets::kReportJs;
  return scripts + "</script>\n";
}

}  // namespace

Expected<std::string> ReportHtml(const FlightResult& result, const ClipTrack& pictures) {
  const Expected<std::string> picture = PictureSection(result, pictures);
  if (!picture) return picture.error();
  const std::string plots = PlotsSection(result);
  std::string page = Head(result) + "<body>\n<main>\n";
  page += HeaderSection(result) + "\n";
  if (result.verdict == Verdict::kRefused) page += FindingsSection(result) + "\n";
  page += AnswersSection(result) + "\n";
  if (result.verdict != Verdict::kRefused) page += FindingsSection(result) + "\n";
  page += *picture + "\n" + SafetySection() + "\n";
  const Expected<std::string> straightness = StraightnessSection(result, pictures);
  if (!straightness) return straightness.error();
  const std::string second_sheet = plots + *straightness + BudgetSection(result) + BasisSection(result);
  if (!second_sheet.empty()) page += R"(<div class="second-sheet">)" + second_sheet + "</div>\n";
  page += FooterSection(result) + "\n</main>\n";
  if (!plots.empty()) page += Scripts();
  return page + "</body>\n</html>\n";
}

}  // namespace loftline
