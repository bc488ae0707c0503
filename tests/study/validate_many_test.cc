// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/validate_many.h"

#include "fit/fit_flight.h"
#include "fit/result_file.h"
#include "tests/core/temporary_folder.h"
#include "tests/support/synthetic_simulator.h"

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <ctime>
#include <fstream>
#include <iterator>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

namespace fs = std::filesystem;

SyntheticScene Heron(std::uint64_t seed) {
  SyntheticScene scene;
  scene.seed = seed;
  return scene;
}

fs::path Simulated(const TemporaryFolder& folder, const std::string& name, double drag_factor) {
  SyntheticScene scene = Heron(1);
  scene.drag_per_m *= drag_factor;
  const SimulatedFlight flight = Simulate(scene);
  std::string table = "t,x,y\n";
  for (std::size_t i = 0; i < flight.time_s.size(); ++i) {
    table += fmt::format("{:.6f},{:.6f},{:.6f}\n", flight.time_s[i], flight.x_m[i], flight.y_m[i]);
  }
  return folder.Write(name, table);
}

fs::path Measured(const TemporaryFolder& folder, std::uint64_t seed) {
  const SyntheticFlight flight = Synthesize(Heron(seed));
  const Expected<FlightResult> result = FitFlight(flight.track, flight.survey);
  EXPECT_TRUE(result);
  fs::path path = folder.path() / fmt::format("{}.result.json", seed);
  EXPECT_TRUE(WriteResult(path, *result));
  return path;
}

FlightToValidate Pair(const fs::path& result, const fs::path& simulator) {
  FlightToValidate flight;
  flight.result = result;
  flight.simulator.file = simulator;
  return flight;
}

TEST(ValidateMany, FindsTheSameOnAnyNumberOfThreads) {
  const TemporaryFolder folder;
  const fs::path table = Simulated(folder, "heron.csv", 1.0), other = Simulated(folder, "draggy.csv", 1.4);
  std::vector<FlightToValidate> flights;
  for (std::uint64_t seed = 81051; seed < 81056; ++seed) {
    const fs::path result = Measured(folder, seed);
    flights.push_back(Pair(result, table));
    flights.push_back(Pair(result, other));
  }
  const Expected<ValidationDocument> one = ValidateMany(flights, 1), four = ValidateMany(flights, 4);
  ASSERT_TRUE(one && four);
  EXPECT_EQ(ValidationDocumentAsJson(*one).dump(), ValidationDocumentAsJson(*four).dump());
  EXPECT_EQ(one->flights[1].validation.agreement, Agreement::kDisagrees);
  EXPECT_EQ(one->flights[0].validation.result_file, flights[0].result.string());
  EXPECT_EQ(one->flights[1].validation.simulator_file, other.string());
}

// The same table, differently understood, is not the same flight.
TEST(ValidateMany, TellsReadingsOfOneTableApart) {
  const TemporaryFolder folder;
  const fs::path table = Simulated(folder, "heron.csv", 1.0), result = Measured(folder, 81061);
  std::vector<FlightToValidate> flights(2, Pair(result, table));
  flights[1].simulator.columns = *ParseColumnChoices("y=y [ft],x=x [ft]");
  [[maybe_unused]] const std::clock_t begin = std::clock();
  const Expected<ValidationDocument> document = ValidateMany(flights, 2);
  ASSERT_TRUE(document);
#ifdef NDEBUG
  // Metres taken for feet let searches wander off to flights that take seconds each.
  EXPECT_LT(static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC, 2.0);
#endif
  EXPECT_EQ(document->flights[0].validation.agreement, Agreement::kAgrees);
  EXPECT_EQ(document->flights[1].validation.agreement, Agreement::kDisagrees);
}

TEST(ValidateMany, ListsWhatCannotBeCompared) {
  const TemporaryFolder folder;
  const fs::path table = Simulated(folder, "heron.csv", 1.0), result = Measured(folder, 81062);
  const fs::path torn = folder.Write("torn.csv", "t,x,y\n0,0\n");
  const std::vector<FlightToValidate> flights = {
      Pair(folder.path() / "none.result.json", table), Pair(result, torn), Pair(result, table)};
  const Expected<ValidationDocument> document = ValidateMany(flights, 2);
  ASSERT_TRUE(document);
  EXPECT_EQ(document->flights.size(), 1U);
  ASSERT_EQ(document->left_out.size(), 2U);
  EXPECT_EQ(document->left_out[0].error.code, "cannot-read");
  EXPECT_EQ(document->left_out[1].error.file, torn.string());
  EXPECT_EQ(ValidateMany({flights[0], flights[1]}, 2).error().code, "cannot-read");
  EXPECT_EQ(ValidateMany({}, 2).error().kind, ErrorKind::kUsage);
}

// By another path, by a link, and by the same name: one comparison. Aligned otherwise it is another.
TEST(ValidateMany, CountsAFlightNamedTwiceOnce) {
  const TemporaryFolder folder;
  const fs::path table = Simulated(folder, "heron.csv", 1.0), result = Measured(folder, 81063);
  const fs::path link = folder.path() / "link.result.json";
  fs::create_symlink(result, link);
  std::vector<FlightToValidate> flights(5, Pair(result, table));
  flights[1].result = folder.path() / "." / result.filename();
  flights[2].result = link;
  flights[3].simulator.file = folder.path() / "." / "heron.csv";
  flights[4].options.align = Align::kFit;
  const Expected<ValidationDocument> document = ValidateMany(flights, 2);
  ASSERT_TRUE(document);
  ASSERT_EQ(document->flights.size(), 2U);
  EXPECT_EQ(document->flights[1].validation.alignment.by, Align::kFit);
  ASSERT_FALSE(document->bias.findings.empty());
  EXPECT_EQ(document->bias.findings.back().code, "named-twice");
  EXPECT_THAT(document->bias.findings.back().message, testing::StartsWith("3 of the 5 comparisons"));
  const Expected<ValidationDocument> once = ValidateMany({flights[0], flights[4]}, 2);
  ASSERT_TRUE(once);
  for (const Finding& finding : once->bias.findings) EXPECT_NE(finding.code, "named-twice");
}

std::string Rows(const fs::path& table) {
  std::ifstream in(table);
  return {std::istreambuf_iterator<char>(in), {}};
}

TEST(ValidateMany, NoticesATableMadeFromItsOwnFootage) {
  const TemporaryFolder folder;
  const fs::path result = Measured(folder, 81071), other = Measured(folder, 81072);
  const fs::path plain = Simulated(folder, "plain.csv", 1.0);
  const fs::path table = folder.Write(
      "from.csv", "# starts from the measured flight elsewhere/" + result.filename().string() + "\n" + Rows(plain));
  const Expected<ValidationDocument> document =
      ValidateMany({Pair(result, table), Pair(other, table), Pair(result, plain)}, 1);
  ASSERT_TRUE(document);
  ASSERT_EQ(document->flights.size(), 3U);
  for (std::size_t i = 0; i < 3; ++i) {
    const std::vector<Finding>& findings = document->flights[i].validation.findings;
    EXPECT_EQ(std::ranges::count(findings, "simulator-from-footage", &Finding::code), i == 0 ? 1 : 0) << i;
  }
}

TEST(ValidateMany, NamesTheFileAtFault) {
  const TemporaryFolder folder;
  const fs::path result = Measured(folder, 81073), table = Simulated(folder, "heron.csv", 1.0);
  const fs::path still = folder.Write("still.csv", "t,x,y\n0,0,0\n1,0.01,0\n2,0,0.01\n");
  const Expected<ValidationDocument> rests = ValidateMany({Pair(result, still)}, 1);
  ASSERT_FALSE(rests);
  EXPECT_EQ(rests.error().code, "simulator-never-flies");
  EXPECT_EQ(rests.error().file, still.string());
  const Expected<ValidationDocument> no_result = ValidateMany({Pair(table, table)}, 1);
  ASSERT_FALSE(no_result);
  EXPECT_EQ(no_result.error().message, "This is no result of a measured flight.");
  EXPECT_EQ(no_result.error().file, table.string());
  FlightToValidate contrary = Pair(result, table);
  contrary.options.launch_as_measured = true;
  contrary.options.align = Align::kFit;
  const Expected<ValidationDocument> by_two = ValidateMany({contrary}, 1);
  ASSERT_FALSE(by_two);
  EXPECT_EQ(by_two.error().key, "--align");
}

TEST(ValidateMany, StopsWhenAsked) {
  const TemporaryFolder folder;
  std::vector<FlightToValidate> flights;
  flights.reserve(50);
  for (int i = 0; i < 50; ++i) flights.push_back(Pair(fmt::format("none-{}.result.json", i), "none.csv"));
  std::stop_source source;
  double last = 0.0;
  RunControl control{source.get_token(), [&](double fraction) {
                       last = fraction;
                       source.request_stop();
                     }};
  const Expected<ValidationDocument> document = ValidateMany(flights, 1, control);
  ASSERT_FALSE(document);
  EXPECT_EQ(document.error().code, "cancelled");
  EXPECT_DOUBLE_EQ(last, 1.0 / 50.0);
}

// A regional event's day: a thousand results in less than 10 s, of processor time so that a busy machine does not
// matter. Ten flights a hundred times each, since to measure a thousand would take the test's whole time.
TEST(ValidateMany, TakesAThousandFlightsInTenSeconds) {
  const TemporaryFolder folder;
  const fs::path table = Simulated(folder, "heron.csv", 1.1);
  std::vector<FlightToValidate> flights;
  for (std::uint64_t seed = 81071; seed < 81081; ++seed) {
    const fs::path result = Measured(folder, seed);
    for (int copy = 0; copy < 100; ++copy) {
      const fs::path copied = folder.path() / fmt::format("{}-{}.result.json", seed, copy);
      fs::copy_file(result, copied);
      flights.push_back(Pair(copied, table));
    }
  }
  const std::clock_t begin = std::clock();
  const auto from = std::chrono::steady_clock::now();
  const Expected<ValidationDocument> document = ValidateMany(flights, 2);
  const double cpu_s = static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC;
  const std::chrono::duration<double> wall = std::chrono::steady_clock::now() - from;
  ASSERT_TRUE(document);
  EXPECT_EQ(document->flights.size(), 1000U);
  std::printf("1000 flights: %.1f s, %.1f s of processor time\n", wall.count(), cpu_s);
#ifdef NDEBUG
  EXPECT_LT(cpu_s, 10.0);
#endif
}

}  // namespace
}  // namespace loftline
