// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/spread_plot.h"

#include "report/comparison_words.h"
#include "report/design_mark.h"
#include "report/format_number.h"
#include "report/html_text.h"
#include "report/terminal_text.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

// In SVG units; the page scales the sheet.
constexpr double kWidth = 460.0;
constexpr double kLeft = 8.0, kRight = 8.0, kTop = 4.0, kBottom = 26.0;
constexpr double kHeading = 21.0;  // of a row: the design's name
constexpr double kFirstLane = 9.0, kMostLanePitch = 8.5, kMostLanesHeight = 19.0;
constexpr double kMeanBelow = 15.0, kRowEnd = 11.0;
constexpr std::size_t kMostLanes = 6;
constexpr double kMarkRadius = 3.6, kLeastMarkRadius = 2.1, kMeanRadius = 5.2;
constexpr double kManyFlights = 12.0;  // of one design: from here on their marks shrink
constexpr std::size_t kLongestName = 26;

struct Dot {
  const ComparedValue* value = nullptr;
  double x = 0.0;
  std::size_t lane = 0;
};

struct Row {
  std::size_t design = 0;
  std::vector<Dot> dots;
  std::size_t lanes = 1;

  double MarkRadius() const {
    const double crowd = kManyFlights / std::max(kManyFlights, static_cast<double>(dots.size()));
    return std::max(kLeastMarkRadius, kMarkRadius * std::sqrt(crowd));
  }
  double LanePitch() const {
    return lanes < 2 ? 0.0 : std::min(kMostLanePitch, kMostLanesHeight / static_cast<double>(lanes - 1));
  }
  double LaneY(std::size_t lane) const { return kHeading + kFirstLane + LanePitch() * static_cast<double>(lane); }
  double MeanY() const { return LaneY(lanes - 1) + kMeanBelow; }
  double height() const { return MeanY() + kRowEnd; }
};

// Dots that would cover each other go to lanes below each other; where all are taken, to the one free the longest.
void AssignLanes(Row& row) {
  std::sort(row.dots.begin(), row.dots.end(), [](const Dot& a, const Dot& b) { return a.x < b.x; });
  std::array<double, kMostLanes> taken_to{};
  taken_to.fill(-1e9);
  for (Dot& dot : row.dots) {
    const auto is_free = [&](double to) { return to + 2.6 * row.MarkRadius() <= dot.x; };
    auto lane = std::find_if(taken_to.begin(), taken_to.end(), is_free);
    if (lane == taken_to.end()) lane = std::min_element(taken_to.begin(), taken_to.end());
    *lane = dot.x;
    dot.lane = static_cast<std::size_t>(lane - taken_to.begin());
    row.lanes = std::max(row.lanes, dot.lane + 1);
  }
}

class SpreadSheet {
 public:
  SpreadSheet(const Comparison& comparison, const ComparedQuantity& quantity, const AxisRange& range)
      : comparison_(comparison), quantity_(quantity), frame_{kLeft, kWidth - kRight, kTop, kTop, range, {0.0, 1.0}} {
    frame_.x.Widen();
    for (std::size_t design = 0; design < comparison.designs.size(); ++design) {
      Row row{design, {}, 1};
      for (const ComparedValue& value : quantity.values) {
        if (value.flight < comparison.flights.size() && comparison.flights[value.flight].design == design) {
          row.dots.push_back({&value, frame_.X(value.value.value), 0});
        }
      }
      AssignLanes(row);
      frame_.bottom += row.height();
      rows_.push_back(std::move(row));
    }
  }

  std::string Draw() const {
    std::string svg =
        fmt::format(R"(<svg class="chart spread" viewBox="0 0 {:.0f} {:.0f}" role="img" aria-label="{}">)",
                    kWidth,
                    frame_.bottom + kBottom,
                    EscapeHtml(Described()));
    svg += UprightGrid(frame_, 6);
    double top = frame_.top;
    for (const Row& row : rows_) {
      svg += RowSvg(row, top);
      top += row.height();
    }
    return svg + "</svg>";
  }

 private:
  std::string Described() const {
    std::string text = quantity_.label + ".";
    for (std::size_t design = 0; design < comparison_.designs.size(); ++design) {
      text += fmt::format(" {}: {}.", comparison_.designs[design].name, MeanText(quantity_, design));
    }
    return text;
  }

  std::string RowSvg(const Row& row, double top) const {
    std::string svg = fmt::format(
        R"(<path class="rule" d="M{:.1f} {:.1f}H{:.1f}"/><text class="name" x="{:.1f}" y="{:.1f}">{}</text>)"
        R"(<text class="told" x="{:.1f}" y="{:.1f}" text-anchor="end">{}</text>)",
        frame_.left,
        top,
        frame_.right,
        frame_.left + 18.0,
        top + 16.0,
        EscapeHtml(Shortened(comparison_.designs[row.design].name, kLongestName)),
        frame_.right,
        top + 16.0,
        EscapeHtml(MeanText(quantity_, row.design)));
    svg += DesignMark(row.design, frame_.left + 7.0, top + 11.5, 4.6, "mean");
    for (const Dot& dot : row.dots) svg += UncertaintyLine(row, dot, top);
    for (const Dot& dot : row.dots) svg += DotMark(row, dot, top);
    return svg + MeanSvg(row, top + row.MeanY());
  }

  std::string UncertaintyLine(const Row& row, const Dot& dot, double top) const {
    constexpr double kNormal95 = 1.959963984540054;
    const double half = kNormal95 * dot.value->value.std;
    if (!std::isfinite(dot.x) || !std::isfinite(half)) return "";
    return fmt::format(R"(<path class="own {}" d="M{:.1f} {:.1f}H{:.1f}"/>)",
                       DesignClass(row.design),
                       std::max(frame_.left, frame_.X(dot.value->value.value - half)),
                       top + row.LaneY(dot.lane),
                       std::min(frame_.right, frame_.X(dot.value->value.value + half)));
  }

  std::string DotMark(const Row& row, const Dot& dot, double top) const {
    if (!std::isfinite(dot.x)) return "";
    const ComparedFlight& flight = comparison_.flights[dot.value->flight];
    const bool doubted = flight.record.outcome.verdict == Verdict::kCaution;
    return DesignMark(row.design,
                      dot.x,
                      top + row.LaneY(dot.lane),
                      row.MarkRadius(),
                      doubted ? "flight doubted" : "flight",
                      FlightName(comparison_, flight) + ": " + FormatMeasured(dot.value->value, quantity_.unit) +
                          (doubted ? " (with cautions)" : ""));
  }

  // An end of the interval: a bar across, or an arrow where it lies beyond the sheet.
  std::string IntervalEnd(double value, double y) const {
    const double x = frame_.X(value);
    if (x < frame_.left) return fmt::format("M{0:.1f} {1:.1f}l6 -4M{0:.1f} {1:.1f}l6 4", frame_.left, y);
    if (x > frame_.right) return fmt::format("M{0:.1f} {1:.1f}l-6 -4M{0:.1f} {1:.1f}l-6 4", frame_.right, y);
    return fmt::format("M{:.1f} {:.1f}v9", x, y - 4.5);
  }

  std::string MeanSvg(const Row& row, double y) const {
    if (row.design >= quantity_.means.size() || quantity_.means[row.design].count == 0) return "";
    std::string svg;
    if (row.design < quantity_.mean_estimates.size() && quantity_.mean_estimates[row.design]) {
      const Estimate& mean = *quantity_.mean_estimates[row.design];
      svg += fmt::format(R"(<path class="interval {}" d="M{:.1f} {:.1f}H{:.1f}{}{}"/>)",
                         DesignClass(row.design),
                         std::clamp(frame_.X(mean.low_95), frame_.left, frame_.right),
                         y,
                         std::clamp(frame_.X(mean.high_95), frame_.left, frame_.right),
                         IntervalEnd(mean.low_95, y),
                         IntervalEnd(mean.high_95, y));
    }
    const double at = quantity_.mean_estimates.size() > row.design && quantity_.mean_estimates[row.design]
                          ? quantity_.mean_estimates[row.design]->value
                          : quantity_.means[row.design].mean;
    return svg + DesignMark(row.design, frame_.X(at), y, kMeanRadius, "mean");
  }

  const Comparison& comparison_;
  const ComparedQuantity& quantity_;
  PlotFrame frame_;
  std::vector<Row> rows_;
};

}  // namespace

AxisRange SpreadRange(const ComparedQuantity& quantity) {
  constexpr double kNormal95 = 1.959963984540054;
  constexpr double kMostBeyond = 0.3;  // of the values' own spread: a vague flight or mean must not squeeze all others
  AxisRange values;
  for (const ComparedValue& value : quantity.values) values.Add(value.value.value);
  AxisRange range = values;
  const double beyond = values.high > values.low ? kMostBeyond * values.size() : std::numeric_limits<double>::max();
  const auto add = [&](double value) { range.Add(std::clamp(value, values.low - beyond, values.high + beyond)); };
  for (const ComparedValue& value : quantity.values) {
    add(value.value.value - kNormal95 * value.value.std);
    add(value.value.value + kNormal95 * value.value.std);
  }
  for (const std::optional<Estimate>& mean : quantity.mean_estimates) {
    if (!mean) continue;
    add(mean->low_95);
    add(mean->high_95);
  }
  return range;
}

std::string SpreadSvg(const Comparison& comparison, const ComparedQuantity& quantity, const AxisRange& range) {
  return SpreadSheet(comparison, quantity, range).Draw();
}

}  // namespace loftline
