// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/day_progress.h"

#include <gtest/gtest.h>

namespace loftline {
namespace {

struct Heard : JobReport {
  void Stage(const std::string&) override {}
  void Fraction(double value) override { fraction = value; }
  void Details(nlohmann::ordered_json json) override { details = std::move(json); }
  double fraction = -1.0;
  nlohmann::ordered_json details;
};

DayTable FourRows() {
  DayTable table;
  for (int i = 0; i < 4; ++i) {
    DayRow row;
    row.line = i + 2;
    row.clip = "../../../c" + std::to_string(i) + ".mp4";
    row.design = "Heron";
    row.launch = std::to_string(i);
    row.skip = i == 3;
    table.rows.push_back(row);
  }
  return table;
}

TEST(DayProgressOfThree, TellsEachClipAndTheTimeLeft) {
  const DayTable table = FourRows();
  Heard heard;
  DayProgress::Clock::time_point now;
  DayProgress progress(table, DayPaths("/field", "/field/loftline-work/days/x"), &heard, [&] { return now; });
  EXPECT_EQ(heard.details["total"], 3);  // the fourth is skipped
  EXPECT_TRUE(heard.details["left_s"].is_null());
  EXPECT_EQ(heard.details["clips"][1]["clip"], "c1.mp4");
  EXPECT_EQ(heard.details["clips"][1]["state"], "waiting");

  now += std::chrono::seconds(5);
  progress.Measuring(table.rows[0], 0.5);
  EXPECT_EQ(heard.details["clips"][0]["state"], "measuring");
  EXPECT_EQ(heard.details["left_s"], 25);  // half a clip in 5 s, two and a half are left
  EXPECT_NEAR(heard.fraction, 0.5 / 3.0, 1e-12);

  now += std::chrono::seconds(5);
  FlightRecord record;
  record.row = table.rows[0];
  record.outcome.outcome = Outcome::kMeasured;
  record.outcome.verdict = Verdict::kCaution;
  progress.Done({&record, false, 1, 3, 1});
  EXPECT_EQ(heard.details["done"], 1);
  EXPECT_EQ(heard.details["left_s"], 20);
  EXPECT_EQ(heard.details["clips"][0]["verdict"], "caution");
  EXPECT_EQ(heard.details["clips"][0]["outcome"], "measured");
}

TEST(DayProgressOfThree, WhatLayThereAlreadyIsNoMeasureOfTime) {
  const DayTable table = FourRows();
  Heard heard;
  DayProgress::Clock::time_point now;
  DayProgress progress(table, DayPaths("/field", "/field/loftline-work/days/x"), &heard, [&] { return now; });
  FlightRecord record;
  record.row = table.rows[0];
  record.outcome.outcome = Outcome::kMeasured;
  progress.Done({&record, true, 1, 3, 0});
  EXPECT_TRUE(heard.details["left_s"].is_null());
}

}  // namespace
}  // namespace loftline
