// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/comparison_page.h"

#include "report/comparison_sections.h"
#include "report/comparison_words.h"
#include "report/page_assets.h"
#include "report/page_sections.h"
#include "report/page_shell.h"

namespace loftline {

std::string ComparisonHtml(const Comparison& comparison) {
  std::string page =
      PageHead(ComparisonTitle(comparison) + " – Loftline comparison of designs", {page_assets::kComparisonCss});
  page += "<body>\n<main>\n" + ComparisonHeader(comparison) + "\n" + WarningsSection(comparison) + "\n";
  page += SpreadsSection(comparison) + "\n" + CurvesSection(comparison) + "\n";
  page += R"(<div class="second-sheet">)" + PairsSection(comparison) + "\n" + DesignsSection(comparison) + "\n";
  page += TapeSection(comparison) + "\n" + LeftOutSection(comparison) + "\n" + AllFlightsSection(comparison) + "\n";
  page += SafetySection() + "\n";
  page += "<footer><p>Made on this computer; nothing left it. Loftline " LOFTLINE_VERSION ".</p></footer>\n</div>\n";
  return page + "</main>\n</body>\n</html>\n";
}

}  // namespace loftline
