// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/validation_plots.h"

#include "report/html_text.h"
#include "report/plot_frame.h"
#include "report/validation_words.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

const char* ClassOf(Agreement agreement) {
  switch (agreement) {
    case Agreement::kAgrees:
      return "agrees";
    case Agreement::kDisagrees:
      return "disagrees";
    case Agreement::kTooUncertain:
      return "uncertain";
  }
  return "uncertain";
}

// A disc, a square on its corner with a cross in it, a ring: told apart without colour.
std::string ShapeOf(Agreement agreement, double x, double y, double r) {
  switch (agreement) {
    case Agreement::kAgrees:
      return fmt::format("M{0:.1f} {1:.1f}a{2:.1f} {2:.1f} 0 1 0 {3:.1f} 0a{2:.1f} {2:.1f} 0 1 0 {4:.1f} 0z",
                         x - r,
                         y,
                         r,
                         2.0 * r,
                         -2.0 * r);
    case Agreement::kDisagrees: {
      const double d = 1.3 * r;
      return fmt::format("M{:.1f} {:.1f}l{:.1f} {:.1f}l{:.1f} {:.1f}l{:.1f} {:.1f}z", x, y - d, d, d, -d, d, -d, -d);
    }
    case Agreement::kTooUncertain:
      return fmt::format("M{0:.1f} {1:.1f}h{2:.1f}v{2:.1f}h{3:.1f}z", x - 0.9 * r, y - 0.9 * r, 1.8 * r, -1.8 * r);
  }
  return "";
}

}  // namespace

std::string AgreementMark(Agreement agreement, double x, double y, double radius, const std::string& title) {
  const std::string shown = title.empty() ? "" : "<title>" + EscapeHtml(title) + "</title>";
  return fmt::format(
      R"(<path class="sign {}" d="{}">{}</path>)", ClassOf(agreement), ShapeOf(agreement, x, y, radius), shown);
}

std::string AgreementKey(Agreement agreement) {
  return fmt::format(R"(<svg class="key" viewBox="0 0 14 14" aria-hidden="true">{}</svg>)",
                     AgreementMark(agreement, 7.0, 7.0, 4.4));
}

std::string IntervalSvg(const ValidatedQuantity& quantity, const std::string& label) {
  constexpr double kWidth = 150.0, kHeight = 22.0, kMiddle = 11.0;
  AxisRange range{0.0, 0.0};
  for (const double end : {quantity.low_95, quantity.high_95, quantity.matters, -quantity.matters}) range.Add(end);
  const double reach = 1.08 * std::max(range.high, -range.low);
  const PlotFrame frame{0.0, kWidth, 0.0, kHeight, {-reach, reach}, {0.0, 1.0}};
  if (!(reach > 0.0)) return "";
  std::string svg = fmt::format(R"(<svg class="interval {}" viewBox="0 0 {:.0f} {:.0f}" role="img" aria-label="{}">)",
                                ClassOf(quantity.agreement),
                                kWidth,
                                kHeight,
                                EscapeHtml(label));
  if (quantity.matters > 0.0) {
    svg += fmt::format(R"(<rect class="small" x="{:.1f}" y="2" width="{:.1f}" height="{:.0f}"/>)",
                       frame.X(-quantity.matters),
                       frame.X(quantity.matters) - frame.X(-quantity.matters),
                       kHeight - 4.0);
  }
  return svg + fmt::format(R"(<path class="base" d="M0 {0:.1f}H{1:.0f}"/><path class="zero" d="M{2:.1f} 0V{3:.0f}"/>)"
                           R"(<rect class="bar" x="{4:.1f}" y="{5:.1f}" width="{6:.1f}" height="7"/>)"
                           R"(<path class="best" d="M{7:.1f} {8:.1f}v13"/></svg>)",
                           kMiddle,
                           kWidth,
                           frame.X(0.0),
                           kHeight,
                           frame.X(quantity.low_95),
                           kMiddle - 3.5,
                           std::max(1.0, frame.X(quantity.high_95) - frame.X(quantity.low_95)),
                           frame.X(quantity.error),
                           kMiddle - 6.5);
}

}  // namespace loftline
