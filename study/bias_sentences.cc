// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/bias_sentences.h"

#include "study/comparison_sentences.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

struct Words {
  const char *key, *noun, *less, *more;
};

constexpr std::array kWords = {
    Words{"launch_speed_m_s", "launch speed", "too low", "too high"},
    Words{"launch_angle_deg", "launch angle", "too flat", "too steep"},
    Words{"apogee_m", "apogee", "too low", "too high"},
    Words{"time_to_apogee_s", "time to apogee", "too short", "too long"},
    Words{"range_m", "range", "too short", "too long"},
    Words{"flight_time_s", "flight time", "too short", "too long"},
    Words{"impact_speed_m_s", "impact speed", "too low", "too high"},
};

const Words* WordsFor(const std::string& key) {
  const auto found = std::ranges::find_if(kWords, [&](const Words& words) { return key == words.key; });
  return found == kWords.end() ? nullptr : &*found;
}

std::string Noun(const QuantityBias& bias) {
  const Words* words = WordsFor(bias.key);
  return words != nullptr ? words->noun : bias.label;
}

std::string Small(std::string text) {
  if (!text.empty() && text[0] >= 'A' && text[0] <= 'Z') text[0] = static_cast<char>(text[0] - 'A' + 'a');
  return text;
}

// "1.2 m too high (95 %: 0.9 to 1.5 m)"; ends of the interval on the other side of zero carry a minus.
std::string AmountText(const Estimate& estimate, const std::string& key, const std::string& unit) {
  const double sign = estimate.value < 0.0 ? -1.0 : 1.0;
  const double half = 0.5 * (estimate.high_95 - estimate.low_95);
  const double near = sign * (sign < 0.0 ? estimate.high_95 : estimate.low_95);
  const double far = sign * (sign < 0.0 ? estimate.low_95 : estimate.high_95);
  std::string low = InUnit(near, half, "");
  if (low.starts_with('-')) low.replace(0, 1, "\u2212");
  return fmt::format("{} {} (95 %: {} to {})",
                     InUnit(std::abs(estimate.value), half, unit),
                     ErrorWord(key, estimate.value),
                     low,
                     InUnit(far, half, unit));
}

Estimate InPercent(const Estimate& share) {
  return {100.0 * share.value, 100.0 * share.std, 100.0 * share.low_95, 100.0 * share.high_95};
}

std::string Amount(const QuantityBias& bias) {
  return bias.by_share ? AmountText(InPercent(*bias.relative), bias.key, "%")
                       : AmountText(*bias.error, bias.key, bias.unit);
}

std::string Counted(int count, const char* one, const char* many) {
  return fmt::format("{} {}", count, count == 1 ? one : many);
}

std::string PathSentence(const SimulatorBias& bias) {
  const int flights = bias.agree + bias.disagree + bias.too_uncertain;
  std::string text = fmt::format("Of {} the simulator's path agrees with {} and disagrees with {}",
                                 Counted(flights, "flight", "flights"),
                                 bias.agree,
                                 bias.disagree);
  if (bias.too_uncertain > 0) {
    text += fmt::format("; {} too uncertain to say", Counted(bias.too_uncertain, "is", "are"));
  }
  return text + ".";
}

}  // namespace

std::string AloneSentence(const std::vector<QuantityBias>& quantities) {
  std::vector<std::string> nouns;
  int among = 0;
  for (const QuantityBias& bias : quantities) {
    if (!bias.alone_biased) continue;
    nouns.push_back("its " + Small(Noun(bias)));
    among = bias.among;
  }
  if (nouns.empty()) return "";
  std::string all = nouns.front();
  for (std::size_t i = 1; i < nouns.size(); ++i) all += (i + 1 < nouns.size() ? ", " : " and ") + nouns[i];
  return fmt::format(" Looked at by {}, {} would count as wrong; asked of {} quantities at once, the bar is higher.",
                     nouns.size() == 1 ? "itself" : "themselves",
                     all,
                     among);
}

std::string ErrorWord(const std::string& key, double error) {
  const Words* words = WordsFor(key);
  if (words == nullptr) return error < 0.0 ? "too small" : "too large";
  return error < 0.0 ? words->less : words->more;
}

std::string BiasSentence(const QuantityBias& bias) {
  if (!bias.error) return "";
  const std::string what = fmt::format("On average the simulator's {} is {}", Small(Noun(bias)), Amount(bias));
  if (bias.alone_biased) {
    return what +
           fmt::format(
               ": by itself more than chance explains, but asked of {} quantities at once, the bar is higher, and "
               "among so many chance may explain it.",
               bias.among);
  }
  if (!bias.biased) return what + ", which chance and the uncertainties explain.";
  return what + ".";
}

std::string DragFactorSentence(const MeanDragFactor& factor) {
  const Estimate& value = factor.factor;
  const double half = 0.5 * (value.high_95 - value.low_95);
  const std::string text =
      fmt::format("On average {} times its drag would bring the simulator to the footage (95 %: {} to {})",
                  InUnit(value.value, half, ""),
                  InUnit(value.low_95, half, ""),
                  InUnit(value.high_95, half, ""));
  const bool may_be_right = value.low_95 <= 1.0 && value.high_95 >= 1.0;
  const std::string left_out = factor.left_out == 0
                                   ? ""
                                   : fmt::format(
                                         " {} left out: there the simulator's drag is so far off that a factor says "
                                         "nothing.",
                                         Counted(factor.left_out, "flight is", "flights are"));
  return text + (may_be_right ? ": its drag may be right as it is." : ".") + left_out;
}

std::string BiasHeadline(const SimulatorBias& bias) {
  std::string text = PathSentence(bias);
  const auto worst = std::ranges::find(bias.quantities, bias.most_wrong, &QuantityBias::key);
  if (worst != bias.quantities.end()) {
    return text +
           fmt::format(" What it gets most wrong is the {}: on average {}.", Small(Noun(*worst)), Amount(*worst));
  }
  const bool judged =
      std::ranges::any_of(bias.quantities, [](const QuantityBias& each) { return each.error.has_value(); });
  if (!judged) return text;
  return text + " On average it is wrong in no quantity by more than chance and the uncertainties explain." +
         AloneSentence(bias.quantities);
}

}  // namespace loftline
