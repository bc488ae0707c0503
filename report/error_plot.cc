// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/html_text.h"
#include "report/plot_frame.h"
#include "report/validation_plots.h"
#include "report/validation_words.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr double kWidth = 640.0;
constexpr double kLeft = 60.0, kRight = 14.0, kTop = 24.0, kBottom = 54.0, kHeight = 270.0;

class ErrorSheet {
 public:
  ErrorSheet(const FlightValidation& flight, ErrorAxis axis)
      : flight_(flight),
        row_(axis == ErrorAxis::kAlong ? 0 : 1),
        coverage_(Coverage95(flight.path)),
        frame_{kLeft, kWidth - kRight, kTop, kHeight - kBottom, {}, {}} {
    frame_.x.Add(0.0);
    frame_.y.Add(0.0);
    for (const PathMoment& moment : flight.path.moments) {
      if (!Known(moment)) continue;
      frame_.x.Add(moment.time_s);
      frame_.y.Add(Error(moment) - Half(moment));
      frame_.y.Add(Error(moment) + Half(moment));
      known_.push_back(&moment);
    }
    frame_.x.Widen();
    frame_.y.Widen();
    frame_.x.low = 0.0;
  }

  std::string Draw() const {
    if (known_.size() < 2) return "";
    std::string svg = fmt::format(R"(<svg class="chart error" viewBox="0 0 {:.0f} {:.0f}" role="img" aria-label="{}">)",
                                  kWidth,
                                  kHeight,
                                  EscapeHtml(Described()));
    svg += SeenStretch() + LevelGrid(frame_, 6) + UprightGrid(frame_, 7);
    for (std::size_t begin = 0; begin + 1 < known_.size();) {
      std::size_t end = begin + 1;
      while (end < known_.size() && known_[end]->seen == known_[begin]->seen) ++end;
      svg += Stretch(begin, std::min(end + 1, known_.size()));
      begin = end;
    }
    svg += fmt::format(
        R"(<path class="guide zero" d="M{:.1f} {:.1f}H{:.1f}"/>)", frame_.left, frame_.Y(0.0), frame_.right);
    return svg + AxisNames(frame_, "time since launch (s)", "E (m)") + "</svg>";
  }

 private:
  bool Known(const PathMoment& moment) const { return std::isfinite(Error(moment)) && std::isfinite(Half(moment)); }
  double Error(const PathMoment& moment) const { return moment.error_m[row_]; }
  double Half(const PathMoment& moment) const { return coverage_ * moment.error_std_m[row_]; }

  std::string Described() const {
    const auto worst = std::max_element(known_.begin(), known_.end(), [this](const auto* a, const auto* b) {
      return std::abs(Error(*a)) < std::abs(Error(*b));
    });
    return fmt::format(
        "Simulated minus filmed, {}, against time, with its 95 % band. Largest: {:.2f} m after {:.2f} s.",
        row_ == 0 ? "along the flight" : "in height",
        Error(**worst),
        (*worst)->time_s);
  }

  // Where the rocket was seen, as a ground of its own, with words at its top.
  std::string SeenStretch() const {
    const auto is_seen = [](const PathMoment* moment) { return moment->seen; };
    const auto first = std::find_if(known_.begin(), known_.end(), is_seen);
    if (first == known_.end()) return "";
    const auto last = std::find_if(known_.rbegin(), known_.rend(), is_seen);
    const double left = frame_.X((*first)->time_s), right = frame_.X((*last)->time_s);
    std::string svg = fmt::format(R"(<rect class="seen-ground" x="{:.1f}" y="{:.1f}" width="{:.1f}" height="{:.1f}"/>)",
                                  left,
                                  frame_.top,
                                  right - left,
                                  frame_.bottom - frame_.top);
    svg += fmt::format(R"(<text x="{:.1f}" y="{:.1f}">seen</text>)", left, frame_.top - 8.0);
    if (frame_.right - right > 90.0) {
      svg += fmt::format(
          R"(<text x="{:.1f}" y="{:.1f}" text-anchor="end">calculated</text>)", frame_.right, frame_.top - 8.0);
    }
    return svg;
  }

  std::string Stretch(std::size_t begin, std::size_t end) const {
    std::string line, above, below;
    for (std::size_t i = begin; i < end; ++i) {
      const PathMoment& moment = *known_[i];
      const double x = frame_.X(moment.time_s);
      const char* go = i == begin ? "M" : "L";
      line += fmt::format("{}{:.1f} {:.1f}", go, x, frame_.Y(Error(moment)));
      above += fmt::format("{}{:.1f} {:.1f}", go, x, frame_.Y(Error(moment) + Half(moment)));
      below.insert(0, fmt::format("L{:.1f} {:.1f}", x, frame_.Y(Error(moment) - Half(moment))));
    }
    const char* look = known_[begin]->seen ? "seen" : "calculated";
    return fmt::format(R"(<path class="band difference {0}" d="{1}{2}z"/><path class="curve difference {0}" d="{3}"/>)",
                       look,
                       above,
                       below,
                       line);
  }

  const FlightValidation& flight_;
  int row_ = 0;
  double coverage_ = 1.96;
  PlotFrame frame_;
  std::vector<const PathMoment*> known_;
};

}  // namespace

std::string ErrorSvg(const FlightValidation& flight, ErrorAxis axis) {
  if (axis == ErrorAxis::kAlong && flight.path.heights_only) return "";
  return ErrorSheet(flight, axis).Draw();
}

}  // namespace loftline
