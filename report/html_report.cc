// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/answers.h"
#include "report/html_text.h"
#include "report/page_assets.h"
#include "report/page_sections.h"
#include "report/write_report.h"

namespace loftline {
namespace {

// The policy forbids every connection, so that the page stays offline whatever a file name holds.
std::string Head(const FlightResult& result) {
  std::string head = R"(<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src 'unsafe-inline'; base-uri 'none'; form-action 'none'">
<title>)";
  head += EscapeHtml(ClipTitle(result)) + " – Loftline flight report</title>\n<style>";
  head += page_assets::kPlotCss;
  head += page_assets::kReportCss;
  return head + "</style>\n</head>\n";
}

std::string Scripts() {
  std::string scripts = "<script>/*\n";
  scripts += page_assets::kPlotLicense;  // asks to go wherever the code goes
  scripts += "*/\n";
  scripts += page_assets::kPlotJs;
  scripts += "</script>\n<script>";
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
