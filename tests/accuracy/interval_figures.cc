// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/interval_figures.h"

#include "tests/accuracy/binomial.h"
#include "tests/accuracy/clip_comparison.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace loftline::accuracy {
namespace {

constexpr double kStatedChance = 0.95;

double Median(std::vector<double> values) {
  if (values.empty()) return 0.0;
  std::sort(values.begin(), values.end());
  const std::size_t half = values.size() / 2;
  return values.size() % 2 == 1 ? values[half] : 0.5 * (values[half - 1] + values[half]);
}

class MeanSquare {
 public:
  void Add(double value) {
    sum_ += value * value;
    ++count_;
  }
  double mean() const { return count_ > 0 ? sum_ / count_ : 0.0; }
  double root() const { return std::sqrt(mean()); }

 private:
  double sum_ = 0.0;
  int count_ = 0;
};

bool WronglyCautioned(const JudgedFlight& flight) {
  return flight.measured && std::any_of(flight.cautions.begin(), flight.cautions.end(), [&](const std::string& code) {
           return !IsJustified(flight.kind, code);
         });
}

}  // namespace

CoverageFigures CoverageOf(const std::vector<JudgedFlight>& flights, const std::string& quantity) {
  CoverageFigures figures;
  MeanSquare in_stds, relative, over_bound;
  std::vector<double> half_widths;
  for (const JudgedFlight& flight : flights) {
    const JudgedQuantity* judged = flight.measured ? flight.Find(quantity) : nullptr;
    if (!judged) continue;
    ++figures.count;
    if (judged->inside()) ++figures.inside;
    in_stds.Add(judged->in_stds());
    relative.Add(judged->relative());
    half_widths.push_back(judged->half_width() / std::abs(judged->truth));
    const auto bound = flight.bound_std.find(quantity);
    if (bound != flight.bound_std.end()) over_bound.Add(judged->error() / bound->second);
  }
  figures.p_value = BinomialTest(figures.inside, figures.count, kStatedChance);
  figures.mean_squared_std = in_stds.mean();
  figures.rms_relative = relative.root();
  figures.median_half_width = Median(std::move(half_widths));
  figures.rms_over_bound = over_bound.root();
  return figures;
}

bool IsJustified(const std::string& kind, const std::string& code) {
  return kind == "launch-only" &&
         (code == "apogee-extrapolated" || code == "landing-extrapolated" || code == "drag-not-measurable");
}

VerdictFigures VerdictsOf(const std::vector<JudgedFlight>& flights) {
  VerdictFigures figures;
  for (const JudgedFlight& flight : flights) {
    ++figures.flights;
    if (flight.measured) ++figures.measured;
    if (flight.accepted()) ++figures.accepted;
    if (flight.verdict == "caution") ++figures.caution;
    if (flight.verdict == "refused") ++figures.refused;
    if (flight.verdict.empty()) ++figures.no_result;
    if (WronglyCautioned(flight)) ++figures.wrongly_cautioned;
    std::vector<std::string> codes = flight.cautions;
    std::sort(codes.begin(), codes.end());
    codes.erase(std::unique(codes.begin(), codes.end()), codes.end());
    for (const std::string& code : codes) ++figures.codes[code];
    if (const std::string wrong = SilentlyWrong(flight); !wrong.empty())
      figures.silently_wrong.push_back(flight.name + ": " + wrong);
  }
  return figures;
}

std::vector<std::string> KindsOf(const std::vector<JudgedFlight>& flights) {
  std::vector<std::string> kinds;
  for (const JudgedFlight& flight : flights) {
    if (std::find(kinds.begin(), kinds.end(), flight.kind) == kinds.end()) kinds.push_back(flight.kind);
  }
  return kinds;
}

std::vector<JudgedFlight> OfKind(const std::vector<JudgedFlight>& flights, const std::string& kind) {
  std::vector<JudgedFlight> chosen;
  for (const JudgedFlight& flight : flights) {
    if (flight.kind == kind) chosen.push_back(flight);
  }
  return chosen;
}

std::vector<std::string> IntervalMisses(const std::vector<JudgedFlight>& flights, const IntervalGoals& goals) {
  std::vector<std::string> misses;
  for (const std::string& quantity : CountedQuantities()) {
    const CoverageFigures all = CoverageOf(flights, quantity);
    if (!(all.share() >= goals.least_share && all.share() <= goals.most_share)) {
      misses.push_back(fmt::format("{}: {:.1f} % of {} truths inside, {:.0f} to {:.0f} % wanted",
                                   quantity,
                                   100 * all.share(),
                                   all.count,
                                   100 * goals.least_share,
                                   100 * goals.most_share));
    }
    const bool bounded = quantity == "launch_speed_m_s" || quantity == "apogee_m";
    if (bounded && all.rms_over_bound > goals.most_rms_over_bound) {
      misses.push_back(fmt::format("{}: RMS error {:.2f} times the bound, at most {:.2f} wanted",
                                   quantity,
                                   all.rms_over_bound,
                                   goals.most_rms_over_bound));
    }
    for (const std::string& kind : KindsOf(flights)) {
      const CoverageFigures here = CoverageOf(OfKind(flights, kind), quantity);
      if (here.p_value >= goals.least_p_value) continue;
      misses.push_back(fmt::format("{} of {}: {} of {} truths inside, which at 95 % has the probability {:.4f}",
                                   quantity,
                                   kind,
                                   here.inside,
                                   here.count,
                                   here.p_value));
    }
  }
  const VerdictFigures verdicts = VerdictsOf(flights);
  for (const std::string& wrong : verdicts.silently_wrong) misses.push_back("accepted, but wrong: " + wrong);
  if (verdicts.measured == 0) misses.emplace_back("no flight was measured");
  if (verdicts.wrongly_cautioned > goals.most_wrongly_cautioned * verdicts.measured) {
    misses.push_back(fmt::format("{} of {} sound flights wrongly cautioned, at most {:.0f} % wanted",
                                 verdicts.wrongly_cautioned,
                                 verdicts.measured,
                                 100 * goals.most_wrongly_cautioned));
  }
  return misses;
}

}  // namespace loftline::accuracy
