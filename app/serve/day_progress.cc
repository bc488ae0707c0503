// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/day_progress.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace loftline {
namespace {

constexpr auto kBetween = std::chrono::milliseconds(150);  // the page asks no more often
constexpr double kEnoughToTell = 0.5;                      // of a clip, before a time is guessed from it

}  // namespace

DayProgress::DayProgress(const DayTable& table,
                         const DayPaths& paths,
                         JobReport* report,
                         std::function<Clock::time_point()> now)
    : report_(report), now_(std::move(now)), start_(now_()), last_told_(start_) {
  for (const DayRow& row : table.rows) {
    if (row.skip) continue;
    by_line_[row.line] = clips_.size();
    clips_.push_back({{{"clip", paths.ForPage(row.clip)},
                       {"design", row.design},
                       {"launch", row.launch},
                       {"state", "waiting"},
                       {"fraction", 0.0},
                       {"outcome", nullptr},
                       {"verdict", nullptr}}});
  }
  Tell(true);
}

void DayProgress::Measuring(const DayRow& row, double fraction) {
  const std::scoped_lock lock(mutex_);
  Clip& clip = clips_[by_line_.at(row.line)];
  const bool begins = !clip.measuring;
  clip.measuring = true;
  clip.fraction = std::clamp(fraction, 0.0, 1.0);
  clip.json["state"] = "measuring";
  clip.json["fraction"] = clip.fraction;
  Tell(begins);
}

void DayProgress::Done(const FlightDone& done) {
  const std::scoped_lock lock(mutex_);
  Clip& clip = clips_[by_line_.at(done.record->row.line)];
  clip.measuring = false;
  clip.done = true;
  clip.fraction = 1.0;
  clip.json["state"] = "done";
  clip.json["fraction"] = 1.0;
  clip.json["outcome"] = OutcomeName(done.record->outcome.outcome);
  clip.json["verdict"] = VerdictName(done.record->outcome.verdict);
  done_ = done.done;
  measured_ = done.measured_in_this_run;
  Tell(true);
}

std::optional<double> DayProgress::LeftS() const {
  double worked = measured_, left = 0.0;
  for (const Clip& clip : clips_) {
    if (clip.measuring) worked += clip.fraction;
    if (!clip.done) left += 1.0 - clip.fraction;
  }
  if (worked < kEnoughToTell) return std::nullopt;
  return std::chrono::duration<double>(now_() - start_).count() / worked * left;
}

// With mutex_ held, but by the constructor.
void DayProgress::Tell(bool at_once) {
  const Clock::time_point now = now_();
  if (!at_once && now - last_told_ < kBetween) return;
  last_told_ = now;
  nlohmann::ordered_json clips = nlohmann::ordered_json::array();
  double whole = 0.0;
  for (const Clip& clip : clips_) {
    clips.push_back(clip.json);
    whole += clip.fraction;
  }
  const std::optional<double> left_s = LeftS();
  report_->Details({{"done", done_},
                    {"total", clips_.size()},
                    {"left_s", left_s ? nlohmann::ordered_json(std::ceil(*left_s)) : nlohmann::ordered_json()},
                    {"clips", std::move(clips)}});
  if (!clips_.empty()) report_->Fraction(whole / static_cast<double>(clips_.size()));
}

}  // namespace loftline
