// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/relative_errors_plot.h"

#include "report/format_number.h"
#include "report/html_text.h"
#include "report/plot_frame.h"
#include "report/validation_plots.h"
#include "report/validation_words.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr double kWidth = 960.0, kLeft = 8.0, kRight = 14.0, kTop = 8.0, kBottom = 54.0;
constexpr double kHeading = 24.0, kFirstLane = 10.0, kMostLanePitch = 10.0, kMostLanesHeight = 52.0, kRowEnd = 12.0;
constexpr double kBiasBelow = 16.0;
constexpr double kMarkRadius = 3.6, kLeastMarkRadius = 2.0;
constexpr std::size_t kMostLanes = 8;
constexpr std::size_t kManyFlights = 40;  // from here on their intervals would hide each other
constexpr double kPercent = 100.0;

struct Dot {
  const FlightValidation* flight = nullptr;
  const ValidatedQuantity* quantity = nullptr;
  double value = 0.0, low = 0.0, high = 0.0;  // per cent of D
  std::size_t lane = 0;
};

struct Row {
  std::string key, label;
  std::vector<Dot> dots;
  std::size_t lanes = 1;
  const Estimate* bias = nullptr;

  double LanePitch() const {
    return lanes < 2 ? 0.0 : std::min(kMostLanePitch, kMostLanesHeight / static_cast<double>(lanes - 1));
  }
  double LaneY(std::size_t lane) const { return kHeading + kFirstLane + LanePitch() * static_cast<double>(lane); }
  double BiasY() const { return LaneY(lanes - 1) + (bias != nullptr ? kBiasBelow : 0.0); }
  double height() const { return BiasY() + kRowEnd; }
};

std::optional<Dot> DotOf(const FlightValidation& flight, const ValidatedQuantity& quantity) {
  const double per_cent = kPercent / std::abs(quantity.measured.value);
  const Dot dot{
      &flight, &quantity, per_cent * quantity.error, per_cent * quantity.low_95, per_cent * quantity.high_95, 0};
  if (!std::isfinite(dot.value) || !std::isfinite(dot.low) || !std::isfinite(dot.high)) return std::nullopt;
  return dot;
}

const Estimate* RelativeBiasOf(const SimulatorBias& bias, const std::string& key) {
  const auto found = std::find_if(
      bias.quantities.begin(), bias.quantities.end(), [&key](const QuantityBias& each) { return each.key == key; });
  return found == bias.quantities.end() || !found->relative ? nullptr : &*found->relative;
}

std::vector<Row> RowsOf(const std::vector<ValidatedFlight>& flights, const SimulatorBias& bias) {
  std::vector<Row> rows;
  for (const ValidatedFlight& each : flights) {
    const FlightValidation& flight = each.validation;
    for (const ValidatedQuantity& quantity : flight.quantities) {
      const std::optional<Dot> dot = DotOf(flight, quantity);
      if (!dot) continue;
      auto row = std::find_if(rows.begin(), rows.end(), [&](const Row& known) { return known.key == quantity.key; });
      if (row == rows.end()) {
        rows.push_back({quantity.key, quantity.label, {}, 1, RelativeBiasOf(bias, quantity.key)});
        row = rows.end() - 1;
      }
      row->dots.push_back(*dot);
    }
  }
  return rows;
}

// A vague or a wild flight must not squeeze all others: what lies far beyond nine tenths of the marks is not waited
// for.
AxisRange RangeOf(const std::vector<Row>& rows) {
  constexpr double kLeftOut = 0.05, kBeyond = 0.4;
  std::vector<double> values;
  for (const Row& row : rows) {
    for (const Dot& dot : row.dots) values.push_back(dot.value);
  }
  std::sort(values.begin(), values.end());
  const auto last = static_cast<double>(values.size() - 1);
  AxisRange middle{values[static_cast<std::size_t>(std::floor(kLeftOut * last))],
                   values[static_cast<std::size_t>(std::ceil((1.0 - kLeftOut) * last))]};
  middle.Add(0.0);
  const double beyond = kBeyond * std::max(middle.size(), 1.0);
  AxisRange range{0.0, 0.0};
  for (const Row& row : rows) {
    for (const Dot& dot : row.dots) {
      range.Add(std::clamp(dot.low, middle.low - beyond, middle.high + beyond));
      range.Add(std::clamp(dot.high, middle.low - beyond, middle.high + beyond));
    }
  }
  range.Widen();
  return range;
}

class ErrorsSheet {
 public:
  ErrorsSheet(const std::vector<ValidatedFlight>& flights, const SimulatorBias& bias)
      : rows_(RowsOf(flights, bias)), many_(flights.size() > kManyFlights) {
    if (rows_.empty()) return;
    frame_ = {kLeft, kWidth - kRight, kTop, kTop, RangeOf(rows_), {0.0, 1.0}};
    const double crowd =
        std::sqrt(static_cast<double>(kManyFlights) / static_cast<double>(std::max(kManyFlights, flights.size())));
    radius_ = std::max(kLeastMarkRadius, kMarkRadius * crowd);
    for (Row& row : rows_) {
      AssignLanes(row);
      frame_.bottom += row.height();
    }
  }

  std::string Draw() const {
    if (rows_.empty()) return "";
    std::string svg =
        fmt::format(R"(<svg class="chart relative" viewBox="0 0 {:.0f} {:.0f}" role="img" aria-label="{}">)",
                    kWidth,
                    frame_.bottom + kBottom,
                    EscapeHtml(Described()));
    svg += UprightGrid(frame_, 9);
    svg += fmt::format(R"(<path class="zero" d="M{:.1f} {:.1f}V{:.1f}"/>)", frame_.X(0.0), frame_.top, frame_.bottom);
    double top = frame_.top;
    for (const Row& row : rows_) {
      svg += RowSvg(row, top);
      top += row.height();
    }
    return svg + fmt::format(R"(<text class="axis" x="{:.1f}" y="{:.1f}" text-anchor="end">{}</text></svg>)",
                             frame_.right,
                             frame_.bottom + 46.0,
                             "E in per cent of what was filmed");
  }

 private:
  // A dot's room: its mark, and its interval where that is drawn.
  double LeftOf(const Dot& dot) const {
    return many_ ? X(dot.value) - radius_ : std::min(X(dot.low), X(dot.value) - radius_);
  }
  double RightOf(const Dot& dot) const {
    return many_ ? X(dot.value) + radius_ : std::max(X(dot.high), X(dot.value) + radius_);
  }
  double X(double value) const { return std::clamp(frame_.X(value), frame_.left + 6.0, frame_.right - 6.0); }

  void AssignLanes(Row& row) const {
    std::sort(row.dots.begin(), row.dots.end(), [](const Dot& a, const Dot& b) { return a.value < b.value; });
    std::vector<double> taken_to(kMostLanes, -1e9);
    for (Dot& dot : row.dots) {
      const double left = LeftOf(dot);
      auto lane = std::find_if(taken_to.begin(), taken_to.end(), [&](double to) { return to + 2.0 <= left; });
      if (lane == taken_to.end()) lane = std::min_element(taken_to.begin(), taken_to.end());
      *lane = std::max(*lane, RightOf(dot));
      dot.lane = static_cast<std::size_t>(lane - taken_to.begin());
      row.lanes = std::max(row.lanes, dot.lane + 1);
    }
  }

  std::string Counts(const Row& row) const {
    std::string text;
    for (const Agreement agreement : {Agreement::kDisagrees, Agreement::kAgrees, Agreement::kTooUncertain}) {
      const auto count = std::count_if(row.dots.begin(), row.dots.end(), [agreement](const Dot& dot) {
        return dot.quantity->agreement == agreement;
      });
      if (count == 0) continue;
      text += fmt::format("{}{} {}",
                          text.empty() ? "" : ", ",
                          count,
                          agreement == Agreement::kAgrees      ? "agree"
                          : agreement == Agreement::kDisagrees ? "disagree"
                                                               : "too uncertain");
    }
    return text;
  }

  std::string Described() const {
    std::string text = "Simulated minus filmed, in per cent of what was filmed.";
    for (const Row& row : rows_) text += " " + row.label + ": " + Counts(row) + ".";
    return text;
  }

  std::string RowSvg(const Row& row, double top) const {
    std::string svg = fmt::format(
        R"(<path class="rule" d="M{0:.1f} {1:.1f}H{2:.1f}"/><text class="name" x="{0:.1f}" y="{3:.1f}">{4}</text>)"
        R"(<text class="told" x="{2:.1f}" y="{3:.1f}" text-anchor="end">{5}</text>)",
        frame_.left,
        top,
        frame_.right,
        top + 17.0,
        EscapeHtml(row.label),
        EscapeHtml(Counts(row)));
    for (const Dot& dot : row.dots) {
      const double y = top + row.LaneY(dot.lane);
      if (!many_) svg += fmt::format(R"(<path class="own" d="M{:.1f} {:.1f}H{:.1f}"/>)", X(dot.low), y, X(dot.high));
    }
    for (const Dot& dot : row.dots) {
      const std::string title = many_ ? ""
                                      : FlightTitle(*dot.flight) + ": " + ErrorText(*dot.quantity) + ", " +
                                            AgreementWords(dot.quantity->agreement);
      svg += AgreementMark(dot.quantity->agreement, X(dot.value), top + row.LaneY(dot.lane), radius_, title);
      svg += Beyond(dot.value, top + row.LaneY(dot.lane));
    }
    return svg + BiasSvg(row, top + row.BiasY());
  }

  // An arrow beside what lies beyond the sheet and is drawn at its edge.
  std::string Beyond(double value, double y) const {
    if (value >= frame_.x.low && value <= frame_.x.high) return "";
    const bool right = value > frame_.x.high;
    return fmt::format(R"(<path class="beyond" d="M{:.1f} {:.1f}l{:.1f} 4l{:.1f} 4"/>)",
                       right ? frame_.right : frame_.left,
                       y - 4.0,
                       right ? 4.0 : -4.0,
                       right ? -4.0 : 4.0);
  }

  std::string BiasSvg(const Row& row, double y) const {
    if (row.bias == nullptr || !std::isfinite(row.bias->value)) return "";
    const double low = X(kPercent * row.bias->low_95), high = X(kPercent * row.bias->high_95);
    const double middle = X(kPercent * row.bias->value);
    return fmt::format(
        R"(<path class="bias" d="M{0:.1f} {1:.1f}H{2:.1f}M{0:.1f} {3:.1f}v10M{2:.1f} {3:.1f}v10"/><path class="bias-middle" d="M{4:.1f} {5:.1f}l6 6l-6 6l-6 -6z"><title>{6}</title></path>)",
        low,
        y,
        high,
        y - 5.0,
        middle,
        y - 6.0,
        EscapeHtml("bias " + FormatEstimate({kPercent * row.bias->value,
                                             kPercent * row.bias->std,
                                             kPercent * row.bias->low_95,
                                             kPercent * row.bias->high_95},
                                            "%")));
  }

  std::vector<Row> rows_;
  bool many_ = false;
  double radius_ = kMarkRadius;
  PlotFrame frame_;
};

}  // namespace

std::string RelativeErrorsSvg(const std::vector<ValidatedFlight>& flights, const SimulatorBias& bias) {
  return ErrorsSheet(flights, bias).Draw();
}

}  // namespace loftline
