// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/read_result.h"

#include "core/json_file.h"
#include "fit/fit_flight.h"
#include "fit/result_file.h"
#include "tests/support/synthetic_flight.h"

#include <fstream>

#include <gtest/gtest.h>

namespace loftline {
namespace {

using Json = nlohmann::ordered_json;

std::filesystem::path Written(const std::string& name, const Json& json) {
  const std::filesystem::path path = std::filesystem::path(testing::TempDir()) / name;
  std::ofstream(path) << json.dump();
  return path;
}

FlightResult Fitted() {
  SyntheticScene scene;
  scene.to_the_left = true;
  scene.camera_x_m = -8.0;
  FitOptions options;
  options.mass_kg = Measured{8e-3, 1e-4};
  options.diameter_m = Measured{0.022, 2e-4};
  const SyntheticFlight flight = Synthesize(scene);
  const auto result = FitFlight(flight.track, flight.survey, options);
  EXPECT_TRUE(result);
  return result ? *result : FlightResult{};
}

TEST(ReadResult, GivesBackWhatWasWritten) {
  const FlightResult result = Fitted();
  Json written = ResultAsJson(result);
  const auto read = ReadResult(Written("whole.result.json", written));
  ASSERT_TRUE(read) << Describe(read.error());
  Json again = ResultAsJson(*read);
  written.erase("straightness");  // is not read
  again.erase("straightness");
  EXPECT_EQ(written.dump(1), again.dump(1));
  EXPECT_EQ(read->flight.direction, Direction::kLeft);
  // Twelve digits of each number are kept.
  EXPECT_LT((read->motion.covariance - result.motion.covariance).norm(), 1e-10 * result.motion.covariance.norm());
  EXPECT_DOUBLE_EQ(read->motion.conditions.gravity_m_per_s2, result.motion.conditions.gravity_m_per_s2);
}

// The two parts of what is known: what the path's scatter adds is some of the whole, never more.
TEST(ReadResult, CovarianceHasThePathsPartInIt) {
  const FittedMotion motion = Fitted().motion;
  for (int i = 0; i < kMotionSize; ++i) {
    EXPECT_GE(motion.path_noise_part(i, i), 0.0) << kMotionKeys[i];
    EXPECT_LE(motion.path_noise_part(i, i), motion.covariance(i, i) * (1.0 + 1e-9)) << kMotionKeys[i];
  }
  EXPECT_GT(motion.path_noise_part(kLogDrag, kLogDrag), 0.0);
  EXPECT_GT(motion.last_seen_s, motion.first_seen_s);
}

TEST(ReadResult, ReadsARefusal) {
  FlightResult refused;
  refused.verdict = Verdict::kRefused;
  refused.findings.push_back({"no-rocket", Severity::kRefusal, "No rocket.", "Film one."});
  const auto read = ReadResult(Written("refused.result.json", ResultAsJson(refused)));
  ASSERT_TRUE(read) << Describe(read.error());
  EXPECT_EQ(read->verdict, Verdict::kRefused);
  EXPECT_EQ(read->findings.front().code, "no-rocket");
}

TEST(ReadResult, SaysWhatIsWrong) {
  const Json whole = ResultAsJson(Fitted());
  const auto code = [](const std::string& name, const Json& json) {
    const auto read = ReadResult(Written(name, json));
    return read ? std::string() : read.error().code;
  };
  Json changed = whole;
  changed["fit"].erase("motion");
  EXPECT_EQ(code("old.result.json", changed), "old-result");
  changed = whole;
  changed["flight"] = nullptr;
  EXPECT_EQ(code("half.result.json", changed), "bad-value");
  changed = whole;
  changed["fit"]["motion"]["covariance"].erase(0);
  EXPECT_EQ(code("short.result.json", changed), "bad-value");
  changed = whole;
  changed["fit"]["motion"]["values"][1] = 1e9;
  EXPECT_EQ(code("fast.result.json", changed), "bad-value");
  changed = whole;
  changed["format_version"] = 9;
  EXPECT_EQ(code("version.result.json", changed), "bad-version");
  changed = whole;
  changed["fit"]["glitter"] = 1;
  EXPECT_EQ(code("key.result.json", changed), "unknown-key");
  EXPECT_EQ(ReadResult("/nowhere/x.result.json").error().code, "cannot-read");
}

}  // namespace
}  // namespace loftline
