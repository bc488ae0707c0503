// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/tape_plot.h"

#include "report/comparison_words.h"
#include "report/design_mark.h"
#include "report/format_number.h"
#include "report/html_text.h"
#include "report/plot_frame.h"

#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr double kWidth = 460.0, kHeight = 242.0;
constexpr double kLeft = 52.0, kRight = 8.0, kTop = 10.0, kBottom = 54.0;
constexpr double kNormal95 = 1.959963984540054;

struct Point {
  double taped_m, difference_m, half_95_m;
};

Point PointOf(const TapeAgreement::Pair& pair) {
  return {pair.taped_m.value,
          pair.measured_m.value - pair.taped_m.value,
          kNormal95 * std::hypot(pair.measured_m.std, pair.taped_m.std)};
}

PlotFrame FrameOf(const TapeAgreement& tape) {
  PlotFrame frame{kLeft, kWidth - kRight, kTop, kHeight - kBottom, {}, {}};
  frame.y.Add(0.0);
  for (const TapeAgreement::Pair& pair : tape.pairs) {
    const Point point = PointOf(pair);
    frame.x.Add(point.taped_m);
    frame.y.Add(point.difference_m - point.half_95_m);
    frame.y.Add(point.difference_m + point.half_95_m);
  }
  for (const std::optional<double>& limit : {tape.low_limit_m, tape.high_limit_m}) {
    if (limit) frame.y.Add(*limit);
  }
  frame.x.Widen();
  frame.y.Widen();
  return frame;
}

std::string Level(const PlotFrame& frame, double value, const char* look) {
  if (!std::isfinite(value)) return "";
  return fmt::format(R"(<path class="{}" d="M{:.1f} {:.1f}H{:.1f}"/>)", look, frame.left, frame.Y(value), frame.right);
}

}  // namespace

std::string TapeSvg(const Comparison& comparison, const TapeAgreement& tape) {
  if (tape.pairs.empty()) return "";
  const PlotFrame frame = FrameOf(tape);
  std::string svg = fmt::format(R"(<svg class="chart tape" viewBox="0 0 {:.0f} {:.0f}" role="img" aria-label="{}">)",
                                kWidth,
                                kHeight,
                                EscapeHtml("Measured minus taped range against the taped range. " + tape.sentence));
  svg += LevelGrid(frame, 5) + UprightGrid(frame, 6) + Level(frame, 0.0, "guide zero");
  if (tape.mean_difference_m) svg += Level(frame, tape.mean_difference_m->value, "average");
  for (const std::optional<double>& limit : {tape.low_limit_m, tape.high_limit_m}) {
    if (limit) svg += Level(frame, *limit, "guide");
  }
  for (const TapeAgreement::Pair& pair : tape.pairs) {
    if (pair.flight >= comparison.flights.size()) continue;
    const ComparedFlight& flight = comparison.flights[pair.flight];
    const Point point = PointOf(pair);
    svg += fmt::format(R"(<path class="own {}" d="M{:.1f} {:.1f}V{:.1f}"/>)",
                       DesignClass(flight.design),
                       frame.X(point.taped_m),
                       frame.Y(point.difference_m - point.half_95_m),
                       frame.Y(point.difference_m + point.half_95_m));
    svg += DesignMark(flight.design,
                      frame.X(point.taped_m),
                      frame.Y(point.difference_m),
                      4.0,
                      "flight",
                      FlightName(comparison, flight) + ": measured " + FormatMeasured(pair.measured_m, "m") +
                          ", taped " + FormatMeasured(pair.taped_m, "m"));
  }
  return svg + AxisNamesInside(frame, "taped range (m)", "measured − taped (m)") + "</svg>";
}

}  // namespace loftline
