// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
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

constexpr double kWidth = 960.0;
constexpr double kLeft = 46.0, kRight = 14.0, kTop = 14.0, kBottom = 54.0;
constexpr double kLeastRight = 380.0;                                               // end of the frame
constexpr double kLeastHeight = 190.0, kMostHeight = 500.0, kHeightsAlone = 330.0;  // of the frame
constexpr double kMarkRadius = 5.5;
constexpr int kMostJoints = 14;
constexpr double kClearlyApart = 8.0, kTagDistance = 15.0;

// One flight as drawn: places in the plot's own axes, with half-widths of the 95 % interval in each.
struct DrawnPath {
  std::vector<Eigen::Vector2d> at, half_95;
};

class PathsSheet {
 public:
  explicit PathsSheet(const FlightValidation& flight)
      : flight_(flight), moments_(flight.path.moments), heights_only_(flight.path.heights_only) {
    const double coverage = Coverage95(flight.path);
    for (const PathMoment& moment : moments_) {
      measured_.at.push_back(Place(moment, moment.measured_m));
      measured_.half_95.push_back(Half(coverage * moment.measured_std_m));
      simulated_.at.push_back(Place(moment, moment.simulated_m));
      simulated_.half_95.push_back(Half(coverage * moment.simulated_std_m));
    }
    for (const SimulatedPlace& place : flight.path.beyond) {
      simulated_.at.push_back(heights_only_ ? Eigen::Vector2d(place.time_s, place.at_m.y()) : place.at_m);
      simulated_.half_95.push_back(simulated_.half_95.back());
    }
    EndAtLanding();
    frame_ = {kLeft, kWidth - kRight, kTop, kTop + kHeightsAlone, {}, {}};
    frame_.y.Add(0.0);
    for (const DrawnPath* path : {&measured_, &simulated_}) {
      for (std::size_t i = 0; i < path->at.size(); ++i) {
        frame_.x.Add(path->at[i].x());
        frame_.y.Add(path->at[i].y() - path->half_95[i].y());
        frame_.y.Add(path->at[i].y() + path->half_95[i].y());
      }
    }
    frame_.x.Widen();
    frame_.y.Widen();
    if (heights_only_) return;
    // A steep flight needs no wide sheet.
    frame_.right = std::clamp(frame_.left + kMostHeight * frame_.x.size() / frame_.y.size(), kLeastRight, frame_.right);
    Equalize(frame_, kLeastHeight, kMostHeight);
  }

  std::string Draw() const {
    const double width = frame_.right + kRight;
    std::string svg = fmt::format(
        R"(<svg class="chart paths" viewBox="0 0 {:.0f} {:.0f}" style="max-width:{:.0f}%" role="img" aria-label="{}">)",
        width,
        frame_.bottom + kBottom,
        100.0 * width / kWidth,
        EscapeHtml(Described()));
    svg += LevelGrid(frame_, 7) + UprightGrid(frame_, 9);
    svg += fmt::format(
        R"(<path class="guide zero" d="M{:.1f} {:.1f}H{:.1f}"/>)", frame_.left, frame_.Y(0.0), frame_.right);
    svg += Bands() + Joints();
    svg += SeenAndCalculated();
    svg += fmt::format(R"(<path class="curve simulated" d="{}"/>)", Data(simulated_, 0, simulated_.at.size()));
    svg += Marks(measured_, "measured") + Marks(simulated_, "simulated");
    svg += AxisNamesInside(
        frame_, heights_only_ ? "time since launch (s)" : "distance from the launch point (m)", "height (m)");
    return svg + "</svg>";
  }

 private:
  Eigen::Vector2d Place(const PathMoment& moment, const Eigen::Vector2d& place_m) const {
    return heights_only_ ? Eigen::Vector2d(moment.time_s, place_m.y()) : place_m;
  }
  Eigen::Vector2d Half(const Eigen::Vector2d& half_95_m) const {
    return heights_only_ ? Eigen::Vector2d(0.0, half_95_m.y()) : half_95_m;
  }

  std::string Described() const {
    return fmt::format("{} of the flight as filmed, with its 95 % band, and as simulated. {}",
                       heights_only_ ? "Height against time" : "Height against distance",
                       flight_.sentence);
  }

  std::string Data(const DrawnPath& path, std::size_t begin, std::size_t end) const {
    std::string data;
    for (std::size_t i = begin; i < end; ++i) {
      if (!path.at[i].allFinite()) continue;
      data +=
          fmt::format("{}{:.1f} {:.1f}", data.empty() ? "M" : "L", frame_.X(path.at[i].x()), frame_.Y(path.at[i].y()));
    }
    return data;
  }

  // Across the path, as far as the 95 % interval reaches in that direction: in the sheet's own units.
  Eigen::Vector2d Across(const DrawnPath& path, std::size_t i) const {
    const Eigen::Vector2d step = path.at[std::min(i + 1, path.at.size() - 1)] - path.at[i == 0 ? 0 : i - 1];
    const Eigen::Vector2d per_unit(frame_.X(1.0) - frame_.X(0.0), frame_.Y(1.0) - frame_.Y(0.0));
    const Eigen::Vector2d along = step.cwiseProduct(per_unit);
    if (!(along.norm() > 0.0)) return Eigen::Vector2d::Zero();
    const Eigen::Vector2d normal = Eigen::Vector2d(-along.y(), along.x()).normalized();
    return normal * normal.cwiseProduct(path.half_95[i]).cwiseProduct(per_unit).norm();
  }

  std::string Band(const DrawnPath& path, std::size_t begin, std::size_t end, const char* look) const {
    std::string data, back;
    for (std::size_t i = begin; i < end; ++i) {
      if (!path.at[i].allFinite() || !path.half_95[i].allFinite()) continue;
      const Eigen::Vector2d at(frame_.X(path.at[i].x()), frame_.Y(path.at[i].y()));
      const Eigen::Vector2d across = Across(path, i);
      data += fmt::format("{}{:.1f} {:.1f}", data.empty() ? "M" : "L", at.x() + across.x(), at.y() + across.y());
      back.insert(0, fmt::format("L{:.1f} {:.1f}", at.x() - across.x(), at.y() - across.y()));
    }
    return data.empty() ? "" : fmt::format(R"(<path class="band {}" d="{}{}z"/>)", look, data, back);
  }

  std::string Bands() const {
    std::string svg = StatesUncertainty(flight_) ? Band(simulated_, 0, simulated_.at.size(), "simulated") : "";
    for (std::size_t begin = 0; begin + 1 < moments_.size();) {
      const std::size_t end = EndOfStretch(begin);
      svg += Band(measured_, begin, std::min(end + 1, moments_.size()), moments_[begin].seen ? "seen" : "calculated");
      begin = end;
    }
    return svg;
  }

  std::size_t EndOfStretch(std::size_t begin) const {
    std::size_t end = begin + 1;
    while (end < moments_.size() && moments_[end].seen == moments_[begin].seen) ++end;
    return end;
  }

  std::string SeenAndCalculated() const {
    std::string svg;
    for (std::size_t begin = 0; begin + 1 < moments_.size();) {
      const std::size_t end = EndOfStretch(begin);
      svg += fmt::format(R"(<path class="curve {}" d="{}"/>)",
                         moments_[begin].seen ? "seen" : "calculated",
                         Data(measured_, begin, std::min(end + 1, moments_.size())));
      begin = end;
    }
    return svg;
  }

  double JointStepS() const {
    const double last_s = moments_.back().time_s;
    for (const double step_s : {0.1, 0.2, 0.25, 0.5, 1.0, 2.0}) {
      if (last_s / step_s <= kMostJoints) return step_s;
    }
    return last_s / kMostJoints;
  }

  // The places of one moment, joined: who is ahead, and by how much.
  std::string Joints() const {
    if (heights_only_ || moments_.size() < 2) return "";
    const double step_s = JointStepS();
    std::string svg;
    for (int i = 1; i * step_s < moments_.back().time_s; ++i) {
      const double time_s = i * step_s;
      const auto after = std::find_if(
          moments_.begin(), moments_.end(), [time_s](const PathMoment& moment) { return moment.time_s >= time_s; });
      const auto at = static_cast<std::size_t>(after - moments_.begin());
      if (at == 0 || at >= simulated_.at.size()) continue;
      const double share = (time_s - moments_[at - 1].time_s) / (moments_[at].time_s - moments_[at - 1].time_s);
      const auto shown = [this](const Eigen::Vector2d& place) {
        return Eigen::Vector2d(frame_.X(place.x()), frame_.Y(place.y()));
      };
      const auto between = [&](const DrawnPath& path) {
        return Eigen::Vector2d((1.0 - share) * shown(path.at[at - 1]) + share * shown(path.at[at]));
      };
      const Eigen::Vector2d step = shown(measured_.at[at]) - shown(measured_.at[at - 1]);
      svg += Joint(between(measured_), between(simulated_), step, i % 2 == 0 ? FormatPlain(time_s, 3) + " s" : "");
    }
    return svg;
  }

  // STEP: which way the flight goes on the sheet. TIME stands beside it, on the side away from the other path.
  static std::string Joint(const Eigen::Vector2d& from,
                           const Eigen::Vector2d& to,
                           const Eigen::Vector2d& step,
                           const std::string& time) {
    if (!from.allFinite() || !to.allFinite()) return "";
    std::string svg = fmt::format(
        R"(<path class="joint" d="M{0:.1f} {1:.1f}L{2:.1f} {3:.1f}"/><circle class="moment seen" cx="{0:.1f}" cy="{1:.1f}" r="2.4"/>)"
        R"(<circle class="moment" cx="{2:.1f}" cy="{3:.1f}" r="2.4"/>)",
        from.x(),
        from.y(),
        to.x(),
        to.y());
    if (time.empty() || !(step.norm() > 0.0)) return svg;
    // Below a path that goes to the right, y being down.
    Eigen::Vector2d away = Eigen::Vector2d(-step.y(), step.x()).normalized();
    if ((from - to).norm() > kClearlyApart && away.dot(from - to) < 0.0) away = -away;
    const Eigen::Vector2d tag = from + kTagDistance * away;
    const char* anchor = away.x() > 0.5 ? "start" : away.x() < -0.5 ? "end" : "middle";
    return svg + fmt::format(R"(<text class="time" x="{:.1f}" y="{:.1f}" text-anchor="{}">{}</text>)",
                             tag.x(),
                             tag.y() + 4.0,
                             anchor,
                             time);
  }

  // A triangle at the apogee, a square where it comes down, if the path goes that far.
  std::string Marks(const DrawnPath& path, const char* whose) const {
    const auto highest = std::max_element(path.at.begin(), path.at.end(), [](const auto& a, const auto& b) {
      return a.y() < b.y() || (!std::isfinite(a.y()) && std::isfinite(b.y()));
    });
    std::string svg;
    if (highest == path.at.end() || !highest->allFinite()) return svg;
    const auto mark = [&](const Eigen::Vector2d& at, const char* what, const std::string& shape) {
      svg += fmt::format(R"(<path class="place {}" d="M{:.1f} {:.1f}{}z"><title>{} {}</title></path>)",
                         whose,
                         frame_.X(at.x()),
                         frame_.Y(at.y()),
                         shape,
                         whose,
                         what);
    };
    const double r = kMarkRadius;
    if (highest != path.at.begin() && highest + 1 != path.at.end()) {
      mark(*highest, "apogee", fmt::format("m0 {:.1f}l{:.1f} {:.1f}h{:.1f}", -1.2 * r, 1.1 * r, 2.0 * r, -2.2 * r));
    }
    if (whose == std::string_view("measured") ? measured_lands_ : simulated_lands_) {
      mark(path.at.back(), "landing", fmt::format("m{0:.1f} {0:.1f}h{1:.1f}v{1:.1f}h{2:.1f}", -r, 2.0 * r, -2.0 * r));
    }
    return svg;
  }

  // What the simulator does below the level of the filmed landing, if that is known, is of no use.
  void EndAtLanding() {
    for (const ValidatedQuantity& quantity : flight_.quantities) {
      if (quantity.key != "flight_time_s" || moments_.empty()) continue;
      measured_lands_ = std::abs(moments_.back().time_s - quantity.measured.value) < 0.02 * quantity.measured.value;
    }
    if (!measured_lands_) return;
    const double level = measured_.at.back().y();  // the moments end there
    for (std::size_t i = 1; i < simulated_.at.size(); ++i) {
      const Eigen::Vector2d before = simulated_.at[i - 1];
      const Eigen::Vector2d after = simulated_.at[i];
      if (!(before.y() >= level && after.y() < level)) continue;
      const double share = (before.y() - level) / (before.y() - after.y());
      simulated_.at[i] = before + share * (after - before);
      simulated_.at.resize(i + 1);
      simulated_.half_95.resize(i + 1);
      simulated_lands_ = true;
    }
  }

  const FlightValidation& flight_;
  const std::vector<PathMoment>& moments_;
  bool heights_only_ = false;
  DrawnPath measured_, simulated_;
  bool measured_lands_ = false, simulated_lands_ = false;
  PlotFrame frame_;
};

}  // namespace

std::string PathsSvg(const FlightValidation& flight) {
  return flight.path.moments.size() < 2 ? "" : PathsSheet(flight).Draw();
}

}  // namespace loftline
