// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/prediction_plot.h"

#include "core/wrap_text.h"
#include "report/format_number.h"
#include "report/plot_frame.h"
#include "report/prediction_text.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>

namespace loftline {
namespace {

using Anchor = PaperWords::Anchor;

constexpr double kWidth = 960.0;
constexpr double kLeft = 74.0, kRight = 24.0, kTop = 78.0, kBelow = 118.0;
constexpr double kLeastHeight = 170.0, kMostHeight = 560.0;
constexpr double kLetters = 15.0, kSmall = 13.0;
constexpr double kFirstLine = 22.0, kSecondLine = 42.0;  // below the ground
constexpr double kRoomAbove = 34.0, kRoomBelow = 52.0;
constexpr double kBoldAdvance = 0.66;            // mean advance of a bold letter, in sizes
constexpr double kNormal95 = 1.959963984540054;  // half the 95 % interval of a normal distribution, in std
constexpr double kDotEveryS = 0.5;
constexpr std::size_t kMostPoints = 200;

constexpr PaperInk kInk{0.11, 0.14, 0.18, 1.0}, kSoft{0.32, 0.36, 0.42, 1.0}, kGrid{0.35, 0.32, 0.22, 0.16};
constexpr PaperInk kPath{0.04, 0.36, 0.53, 1.0}, kBand{0.81, 0.875, 0.91, 1.0}, kWarm{0.61, 0.27, 0.06, 1.0};
constexpr PaperInk kPaper{1.0, 1.0, 1.0, 1.0}, kGround{0.45, 0.40, 0.30, 1.0}, kNone{0.0, 0.0, 0.0, 0.0};

// Across the path, half the width that holds 95 of 100.
Eigen::Vector2d HalfBand(const PredictedRow& row) {
  const double speed = row.velocity_m_per_s.norm();
  const Eigen::Vector2d across = speed > 0.0
                                     ? Eigen::Vector2d(-row.velocity_m_per_s.y(), row.velocity_m_per_s.x()) / speed
                                     : Eigen::Vector2d(0.0, 1.0);
  const Eigen::Vector2d part = across.cwiseProduct(row.at_std_m);
  const double variance = part.squaredNorm() + 2.0 * row.at_correlation * part.x() * part.y();
  return across * kNormal95 * std::sqrt(std::max(0.0, variance));
}

class PredictionDraughtsman {
 public:
  explicit PredictionDraughtsman(const Prediction& prediction) : prediction_(prediction), frame_(FrameOf(prediction)) {
    drawing_.width = kWidth;
    drawing_.height = frame_.bottom + kBelow;
    drawing_.described = "Predicted flight from the side, height against distance. " + Title();
  }

  PaperDrawing Draw() {
    Band();
    Grid();
    Ground();
    Path();
    Landmarks();
    Words();
    return std::move(drawing_);
  }

 private:
  const Estimate& Of(const char* key) const { return *prediction_.Quantity(key).estimate; }
  double GroundM() const { return -prediction_.height_above_landing_m; }

  static PlotFrame FrameOf(const Prediction& prediction) {
    PlotFrame frame{kLeft, kWidth - kRight, kTop, kTop, {}, {}};
    for (const PredictedRow& row : prediction.rows) {
      const Eigen::Vector2d half = HalfBand(row);
      for (const Eigen::Vector2d& at : {Eigen::Vector2d(row.at_m + half), Eigen::Vector2d(row.at_m - half)}) {
        frame.x.Add(at.x());
        frame.y.Add(std::max(at.y(), -prediction.height_above_landing_m));
      }
    }
    const Estimate landing = LandingM(prediction);
    frame.x.Add(landing.low_95);
    frame.x.Add(landing.high_95);
    frame.y.Add(0.0);
    frame.y.Add(-prediction.height_above_landing_m);
    frame.x.Widen();
    frame.y.Widen();
    Equalize(frame, kLeastHeight, kMostHeight);
    MakeRoom(prediction, &frame);
    // A narrow flight stands in the middle.
    const double free_m = frame.x.size() - 1.1 * (std::max(0.0, landing.high_95) - std::min(0.0, landing.low_95));
    if (free_m > 0.3 * frame.x.size()) {
      frame.x.low -= 0.4 * free_m;
      frame.x.high -= 0.4 * free_m;
    }
    return frame;
  }

  // The range with its interval, on the side on which it lies.
  static Estimate LandingM(const Prediction& prediction) {
    const Estimate& range = *prediction.Quantity("range_m").estimate;
    const double x_m = prediction.rows.back().at_m.x(), half_m = 0.5 * (range.high_95 - range.low_95);
    return {x_m, range.std, x_m - half_m, x_m + half_m};
  }

  // For the words above the apogee and below the ground.
  static void MakeRoom(const Prediction& prediction, PlotFrame* frame) {
    const double m_per_unit = frame->y.size() / (frame->bottom - frame->top);
    const double above =
        std::max(0.0, frame->top + kRoomAbove - frame->Y(prediction.Quantity("apogee_m").estimate->high_95));
    const double below = std::max(0.0, frame->Y(-prediction.height_above_landing_m) + kRoomBelow - frame->bottom);
    frame->bottom += above + below;
    frame->y.high += above * m_per_unit;
    frame->y.low -= below * m_per_unit;
  }

  Eigen::Vector2d At(const Eigen::Vector2d& at_m) const { return {frame_.X(at_m.x()), frame_.Y(at_m.y())}; }

  void Line(std::vector<Eigen::Vector2d> points, const PaperInk& ink, double width, bool dashed = false) {
    drawing_.items.emplace_back(PaperShape{std::move(points), false, kNone, ink, width, dashed});
  }
  void Say(
      std::string text, const Eigen::Vector2d& at, double size, Anchor anchor, const PaperInk& ink, bool bold = false) {
    drawing_.items.emplace_back(PaperWords{std::move(text), at, size, anchor, ink, bold, false});
  }

  void Grid() {
    for (const double tick : RoundTicks(frame_.x.low, frame_.x.high, 10)) {
      Line({{frame_.X(tick), frame_.top}, {frame_.X(tick), frame_.bottom}}, kGrid, 1.0);
      Say(FormatPlain(tick, 6), {frame_.X(tick), frame_.bottom + 20.0}, kSmall, Anchor::kMiddle, kSoft);
    }
    for (const double tick : RoundTicks(frame_.y.low, frame_.y.high, 7)) {
      Line({{frame_.left, frame_.Y(tick)}, {frame_.right, frame_.Y(tick)}}, kGrid, 1.0);
      Say(FormatPlain(tick, 6), {frame_.left - 9.0, frame_.Y(tick) + 4.5}, kSmall, Anchor::kEnd, kSoft);
    }
    Say("distance along the launch (m)", {frame_.right, frame_.bottom + 42.0}, kLetters, Anchor::kEnd, kInk);
    PaperWords height{"height (m)", {22.0, frame_.top}, kLetters, Anchor::kEnd, kInk, false, true};
    drawing_.items.emplace_back(std::move(height));
  }

  void Ground() { Line({{frame_.left, frame_.Y(GroundM())}, {frame_.right, frame_.Y(GroundM())}}, kGround, 2.0); }

  std::size_t Step() const { return std::max<std::size_t>(1, prediction_.rows.size() / kMostPoints); }

  // One edge of the band, from the launch to the ground: where it is still in the air at the landing, it goes on as it
  // went.
  std::vector<Eigen::Vector2d> EdgeM(double side) const {
    std::vector<Eigen::Vector2d> edge;
    const std::vector<PredictedRow>& rows = prediction_.rows;
    for (std::size_t i = 0; i < rows.size(); ++i) {
      if (i % Step() == 0 || i + 1 == rows.size()) edge.push_back(rows[i].at_m + side * HalfBand(rows[i]));
    }
    const Eigen::Vector2d last = edge.back();
    const Eigen::Vector2d& falling = rows.back().velocity_m_per_s;
    if (last.y() > GroundM() && falling.y() < 0.0) {
      edge.emplace_back(last + falling * ((GroundM() - last.y()) / falling.y()));
    }
    for (Eigen::Vector2d& at : edge) at.y() = std::max(at.y(), GroundM());
    return edge;
  }

  // In pieces, since where the path turns sharply the edges cross.
  void Band() {
    const std::vector<Eigen::Vector2d> above = EdgeM(1.0);
    const std::vector<Eigen::Vector2d> below = EdgeM(-1.0);
    const std::size_t size = std::max(above.size(), below.size());
    const auto at = [&](const std::vector<Eigen::Vector2d>& edge, std::size_t i) {
      return At(edge[std::min(i, edge.size() - 1)]);
    };
    for (std::size_t i = 0; i + 1 < size; ++i) {
      drawing_.items.emplace_back(
          PaperShape{{at(above, i), at(above, i + 1), at(below, i + 1), at(below, i)}, true, kBand, kBand, 0.8, false});
    }
  }

  void Path() {
    std::vector<Eigen::Vector2d> points;
    for (std::size_t i = 0; i < prediction_.rows.size(); ++i) {
      if (i % Step() != 0 && i + 1 != prediction_.rows.size()) continue;
      points.push_back(At(prediction_.rows[i].at_m));
    }
    Line(std::move(points), kPath, 3.0);
    for (int dot = 1; kDotEveryS * dot < prediction_.rows.back().time_s; ++dot) {
      drawing_.Circle(At(PlaceAt(kDotEveryS * dot)), 3.6, kPaper, kPath, 2.0);
    }
  }

  // Between two rows the flight is near enough a parabola.
  Eigen::Vector2d PlaceAt(double time_s) const {
    const auto& rows = prediction_.rows;
    const auto after = std::ranges::upper_bound(rows, time_s, {}, &PredictedRow::time_s);
    if (after == rows.begin() || after == rows.end()) return rows.back().at_m;
    const PredictedRow& a = *(after - 1);
    const PredictedRow& b = *after;
    const double since_s = time_s - a.time_s, width_s = b.time_s - a.time_s;
    const Eigen::Vector2d bend = (b.velocity_m_per_s - a.velocity_m_per_s) / width_s;
    return a.at_m + a.velocity_m_per_s * since_s + 0.5 * bend * since_s * since_s;
  }

  // Bold words about MIDDLE_X, kept within the frame; gives where they end.
  double Label(const std::string& text, double middle_x, double y) {
    const double half = 0.5 * BoldWidth(text);
    const double x = std::clamp(middle_x, frame_.left + half, std::max(frame_.left + half, frame_.right - half));
    Say(text, {x, y}, kLetters, Anchor::kMiddle, kInk, true);
    return x + half;
  }
  static double BoldWidth(const std::string& text) {
    return kBoldAdvance * kLetters * static_cast<double>(Width(text));
  }

  // Gives where its words end.
  double Launch(const Eigen::Vector2d& start, double words_y) {
    drawing_.Circle(start, 6.0, kInk, kPaper, 1.5);
    return Label(fmt::format("launch {}, {}",
                             FormatPlainUnit(Of("launch_speed_m_s").value, "m/s"),
                             FormatPlainUnit(Of("launch_angle_deg").value, "°")),
                 start.x(),
                 words_y);
  }

  void Apogee() {
    if (!(Of("time_to_apogee_s").value > 0.0)) return;
    const Estimate& apogee = Of("apogee_m");
    const Eigen::Vector2d top = At({PlaceAt(Of("time_to_apogee_s").value).x(), apogee.value});
    Line({{top.x(), frame_.Y(apogee.low_95)}, {top.x(), frame_.Y(apogee.high_95)}}, kWarm, 5.0);
    drawing_.Circle(top, 5.0, kWarm, kPaper, 1.5);
    Label(fmt::format(
              "apogee {} after {}", FormatEstimate(apogee, "m"), FormatPlainUnit(Of("time_to_apogee_s").value, "s")),
          top.x(),
          frame_.Y(apogee.high_95) - 11.0);
  }

  void Landmarks() {
    const Estimate& range = Of("range_m");
    const Estimate landing = LandingM(prediction_);
    const double ground_y = frame_.Y(GroundM());
    Line({{frame_.X(landing.low_95), ground_y}, {frame_.X(landing.high_95), ground_y}}, kWarm, 5.0);
    Apogee();
    const Eigen::Vector2d start = At({0.0, 0.0});
    const bool on_the_ground = std::abs(start.y() - ground_y) < kRoomBelow;
    const double launch_end_x = Launch(start,
                                       on_the_ground                      ? ground_y + kFirstLine
                                       : Of("launch_angle_deg").value < 0 ? start.y() - kFirstLine
                                                                          : start.y() + kFirstLine);
    drawing_.Circle(At({landing.value, GroundM()}), 5.0, kWarm, kPaper, 1.5);
    const std::string text = fmt::format(
        "landing {} away after {}", FormatEstimate(range, "m"), FormatPlainUnit(Of("flight_time_s").value, "s"));
    const double half = 0.5 * BoldWidth(text);
    const double begin_x = std::min(frame_.X(landing.value), frame_.right - half) - half;
    const bool beside = !on_the_ground || begin_x > launch_end_x + kLetters;
    Label(text, frame_.X(landing.value), ground_y + (beside ? kFirstLine : kSecondLine));
  }

  static std::string FormatPlainUnit(double value, const char* unit) { return WithUnit(FormatPlain(value, 3), unit); }

  std::string Title() const { return PredictionTitle(prediction_); }

  void Words() {
    Say("Predicted flight", {kLeft, 34.0}, 23.0, Anchor::kStart, kInk, true);
    Say(Title(), {kLeft, 58.0}, kLetters, Anchor::kStart, kSoft);
    const double first = frame_.bottom + 66.0, line = 18.0;
    Say("A dot every half second. Shaded and thick: where 95 of 100 such flights go, if the inputs are as uncertain as "
        "stated.",
        {kLeft, first},
        kSmall,
        Anchor::kStart,
        kSoft);
    Say("Launch safely: eye protection, a clear range, nobody over the tube or down range, an adult in charge; local "
        "rules decide.",
        {kLeft, first + line},
        kSmall,
        Anchor::kStart,
        kInk);
    Say("A prediction does not tell where it is safe to stand.",
        {kLeft, first + 2.0 * line},
        kSmall,
        Anchor::kStart,
        kInk);
  }

  const Prediction& prediction_;
  PlotFrame frame_;
  PaperDrawing drawing_;
};

}  // namespace

PaperDrawing DrawPrediction(const Prediction& prediction) {
  return PredictionDraughtsman(prediction).Draw();
}

}  // namespace loftline
