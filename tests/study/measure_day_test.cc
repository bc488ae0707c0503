// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/measure_day.h"

#include "core/atomic_file.h"
#include "core/json_file.h"
#include "study/day_folder.h"
#include "study/merge_days.h"
#include "tests/core/temporary_folder.h"

#include <algorithm>
#include <atomic>
#include <map>
#include <stdexcept>
#include <string>

#include <fmt/format.h>
#include <gmock/gmock.h>

namespace loftline {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;

// Contents of all files below FOLDER, by their path in it.
std::map<std::string, std::string> Bytes(const fs::path& folder) {
  std::map<std::string, std::string> bytes;
  for (const fs::directory_entry& entry : fs::recursive_directory_iterator(folder)) {
    if (entry.is_regular_file()) bytes[fs::relative(entry.path(), folder).string()] = BytesOf(entry.path());
  }
  return bytes;
}

class Day : public testing::Test {
 protected:
  Day() {
    survey_ = folder_.Write("flat.survey.json", "survey");
    for (int i = 1; i <= 7; ++i) AddRow(fmt::format("launch-{}.mp4", i));
    table_.file = folder_.path() / "day.csv";
    table_.sha256 = "0123";
    table_.variables = {"nose"};
  }

  void AddRow(const std::string& clip) {
    DayRow row;
    row.line = static_cast<int>(table_.rows.size()) + 2;
    row.clip = clip;
    row.clip_path = folder_.Write(clip, "pictures of " + clip);
    row.survey = "flat.survey.json";
    row.survey_path = survey_;
    row.design = row.line % 2 == 0 ? "Heron" : "Puffin";
    row.launch = std::to_string(row.line);
    row.mass_kg = Measured{0.0065, 0.00005};
    row.variables = {"ogive"};
    table_.rows.push_back(row);
  }

  // Stands for the measuring of a clip: what it finds hangs on the row alone.
  Expected<FlightOutcome> MeasureMadeUp(const DayRow& row, const fs::path& folder) {
    ++measured_;
    if (row.clip == bad_clip_)
      return Error{ErrorKind::kInvalidInput, "damaged-clip", "It is cut short.", "Copy it again."};
    if (row.clip == mistaken_clip_) throw std::logic_error("made up");
    if (Status status = WriteFileAtomically(folder / (row.clip + ".txt"), row.clip); !status) return status.error();
    FlightOutcome outcome;
    outcome.outcome = Outcome::kMeasured;
    outcome.verdict = Verdict::kAccepted;
    outcome.flight.range_m = Estimate{20.0 + row.line, 0.1, 19.8, 20.2};
    outcome.survey_std["range_m"] = 0.05;
    outcome.findings = {{"no-landing", Severity::kNote, "A note.", "Advice."}};
    return outcome;
  }

  Expected<DaySummary> Run(const fs::path& out,
                           MeasureDayOptions options = {},
                           const RunControl& control = {},
                           const FinishDay& finish = {}) {
    measured_ = 0;
    return MeasureDay(
        table_,
        out,
        options,
        [this](const DayRow& row, const fs::path& folder, int, const RunControl&) {
          return MeasureMadeUp(row, folder);
        },
        [this](const FlightDone& done) {
          ++told_;
          EXPECT_EQ(done.total, static_cast<int>(table_.rows.size()));
        },
        control,
        finish);
  }

  fs::path Out(const char* name = "out") const { return folder_.path() / name; }

  TemporaryFolder folder_;
  fs::path survey_;
  DayTable table_;
  std::string bad_clip_, mistaken_clip_;
  std::atomic<int> measured_ = 0, told_ = 0;
};

TEST_F(Day, IsMeasuredOnce) {
  const Expected<DaySummary> first = Run(Out());
  ASSERT_TRUE(first) << Describe(first.error());
  EXPECT_EQ(measured_, 7);
  EXPECT_EQ(told_, 7);
  const auto bytes = Bytes(Out());
  const Expected<DaySummary> second = Run(Out());
  ASSERT_TRUE(second);
  EXPECT_EQ(measured_, 0);
  EXPECT_EQ(Bytes(Out()), bytes);
}

TEST_F(Day, IsTheSameWithAnyNumberOfJobs) {
  ASSERT_TRUE(Run(Out("one"), {.jobs = 1}));
  ASSERT_TRUE(Run(Out("five"), {.jobs = 5}));
  EXPECT_EQ(Bytes(Out("one")), Bytes(Out("five")));
}

TEST_F(Day, MeasuresAgainOnlyWhatChanged) {
  ASSERT_TRUE(Run(Out()));
  folder_.Write("launch-3.mp4", "other pictures");
  table_.rows[4].mass_kg->value = 0.007;
  table_.rows[5].note = "a note measures nothing again";
  ASSERT_TRUE(Run(Out()));
  EXPECT_EQ(measured_, 2);
  EXPECT_EQ(std::distance(fs::directory_iterator(Out() / "flights"), fs::directory_iterator()), 7);
  folder_.Write("flat.survey.json", "another survey");
  ASSERT_TRUE(Run(Out()));
  EXPECT_EQ(measured_, 7);
  ASSERT_TRUE(Run(Out(), {.force = true}));
  EXPECT_EQ(measured_, 7);
}

TEST_F(Day, LeavesOutWhatTheTableSkips) {
  table_.rows[2].skip = true;
  DaySummary summary =
      *MeasureDay(table_, Out(), {}, [this](const DayRow& row, const fs::path& at, int, const RunControl&) {
        return MeasureMadeUp(row, at);
      });
  EXPECT_EQ(CountOf(summary, Outcome::kSkipped), 1);
  EXPECT_EQ(CountOf(summary, Outcome::kMeasured), 6);
}

TEST_F(Day, GoesOnPastABadClip) {
  bad_clip_ = "launch-2.mp4";
  const Expected<DaySummary> summary = Run(Out());
  ASSERT_TRUE(summary);
  EXPECT_EQ(CountOf(*summary, Outcome::kMeasured), 6);
  const FlightRecord& bad = summary->flights[1];
  EXPECT_EQ(bad.outcome.outcome, Outcome::kUnreadable);
  EXPECT_EQ(WhyNot(bad.outcome), "It is cut short. Copy it again.");
  EXPECT_THAT(BytesOf(Out() / "summary.csv"), HasSubstr("unreadable,,damaged-clip,It is cut short. Copy it again."));
  ASSERT_TRUE(Run(Out()));
  EXPECT_EQ(measured_, 0) << "a bad clip stays bad until it changes";
}

TEST_F(Day, GoesOnPastAFlightThatCannotBeDrawn) {
  const auto run = [this](const Error& error) {
    return MeasureDay(
        table_,
        Out(),
        {},
        [&](const DayRow& row, const fs::path& folder, int, const RunControl&) -> Expected<FlightOutcome> {
          if (row.clip == "launch-3.mp4") return error;
          return MeasureMadeUp(row, folder);
        });
  };
  // An encoder that fails is no fault of the clip: the others are measured, then it is told, and tried again later.
  const Expected<DaySummary> failed = run({ErrorKind::kInternal, "cannot-encode", "No encoder.", ""});
  ASSERT_FALSE(failed);
  EXPECT_EQ(failed.error().code, "cannot-encode");
  EXPECT_EQ(measured_, 6);
  EXPECT_EQ(CountOf(*ReadSummary(Out()), Outcome::kMissing), 1);
  const Expected<DaySummary> summary = run({ErrorKind::kRefused, "no-flight", "Nothing to show.", "Film it again."});
  ASSERT_TRUE(summary) << Describe(summary.error());
  EXPECT_EQ(CountOf(*summary, Outcome::kMeasured), 6);
  EXPECT_EQ(CountOf(*summary, Outcome::kRefused), 1);
}

TEST_F(Day, ABrokenOffRunStillFinishesItsPages) {
  std::stop_source stop;
  stop.request_stop();
  int finished = 0;
  const auto measure = [this](const DayRow& row, const fs::path& at, int, const RunControl&) {
    return MeasureMadeUp(row, at);
  };
  const auto finish = [&finished](const DaySummary& summary) -> Status {
    finished = CountOf(summary, Outcome::kMissing);
    return Done{};
  };
  EXPECT_FALSE(MeasureDay(table_, Out(), {}, measure, {}, {stop.get_token(), {}}, finish));
  EXPECT_EQ(finished, 7);
}

TEST_F(Day, MeasuresTheOthersBeforeAMistakeOfItsOwnIsTold) {
  mistaken_clip_ = "launch-2.mp4";
  const Expected<DaySummary> summary = Run(Out());
  ASSERT_FALSE(summary);
  EXPECT_EQ(summary.error().code, "internal");
  EXPECT_THAT(summary.error().message, HasSubstr("launch-2.mp4"));
  mistaken_clip_.clear();
  ASSERT_TRUE(Run(Out()));
  EXPECT_EQ(measured_, 1);
}

TEST_F(Day, StopsWhenAskedAndGoesOnLater) {
  ASSERT_TRUE(Run(Out("whole")));
  std::stop_source stop;
  std::atomic<int> count = 0;
  const Expected<DaySummary> stopped =
      MeasureDay(table_,
                 Out(),
                 {},
                 [&](const DayRow& row, const fs::path& folder, int, const RunControl&) {
                   if (++count == 3) stop.request_stop();
                   return MeasureMadeUp(row, folder);
                 },
                 {},
                 {stop.get_token(), {}});
  ASSERT_FALSE(stopped);
  EXPECT_EQ(stopped.error().code, "cancelled");
  const Expected<DaySummary> partial = ReadSummary(Out());
  ASSERT_TRUE(partial);
  EXPECT_EQ(CountOf(*partial, Outcome::kMissing), 4);
  ASSERT_TRUE(Run(Out()));
  EXPECT_EQ(measured_, 4);
  EXPECT_EQ(Bytes(Out()), Bytes(Out("whole")));
}

TEST_F(Day, EndsWhenTheDiskTakesNothingMore) {
  int count = 0;
  const Expected<DaySummary> ended =
      MeasureDay(table_,
                 Out(),
                 {},
                 [&](const DayRow& row, const fs::path& folder, int, const RunControl&) -> Expected<FlightOutcome> {
                   if (++count == 3) return Error{ErrorKind::kInternal, "cannot-write", "No space left on device."};
                   return MeasureMadeUp(row, folder);
                 });
  ASSERT_FALSE(ended);
  EXPECT_EQ(ended.error().code, "cannot-write");
  EXPECT_EQ(count, 3);
  ASSERT_TRUE(Run(Out()));
  EXPECT_EQ(measured_, 5);
}

TEST_F(Day, HoldsItsFolderAlone) {
  const Expected<DayFolder> held = DayFolder::Open(Out());
  ASSERT_TRUE(held);
  const Expected<DaySummary> second = Run(Out());
  ASSERT_FALSE(second);
  EXPECT_EQ(second.error().code, "in-use");
  EXPECT_EQ(measured_, 0);
}

TEST_F(Day, HoldsItsFolderUntilItsPagesAreWritten) {
  const FinishDay finish = [](const DaySummary& summary) -> Status {
    EXPECT_TRUE(fs::exists(summary.folder / "summary.json"));
    const Expected<DayFolder> another = DayFolder::Open(summary.folder);
    EXPECT_FALSE(another);
    return Error{ErrorKind::kInternal, "cannot-write", "No page.", "", summary.folder.string()};
  };
  const Expected<DaySummary> day = Run(Out(), {}, {}, finish);
  ASSERT_FALSE(day);
  EXPECT_EQ(day.error().message, "No page.");
  ASSERT_TRUE(Run(Out("part"), {.shard = 1, .shards = 1}));
  const Expected<DaySummary> joined = MergeDays({Out("part")}, Out("joined"), finish);
  ASSERT_FALSE(joined);
  EXPECT_EQ(joined.error().message, "No page.");
}

TEST_F(Day, SweepsOutWhatAKilledRunLeft) {
  ASSERT_TRUE(Run(Out("whole")));
  fs::create_directories(Out() / ".partial" / "launch-1-0123");
  std::ofstream(Out() / ".partial" / "launch-1-0123" / "half") << "half";
  std::ofstream(Out() / AtomicFile("summary.csv").temporary_path().filename()) << "half";
  fs::create_directories(Out() / "flights" / "launch-9-4567");  // a row that is gone
  std::ofstream(Out() / "flights" / "launch-9-4567" / "flight.json") << "{}";
  ASSERT_TRUE(Run(Out()));
  EXPECT_EQ(Bytes(Out()), Bytes(Out("whole")));
}

TEST_F(Day, SummaryReadsBackAsWritten) {
  bad_clip_ = "launch-2.mp4";
  table_.rows[0].tape_range_m = Measured{19.5, 0.05};
  table_.rows[0].note = "a \"note\", with a comma";
  ASSERT_TRUE(Run(Out()));
  const Expected<DaySummary> read = ReadSummary(Out());
  ASSERT_TRUE(read) << Describe(read.error());
  EXPECT_EQ(read->variables, table_.variables);
  EXPECT_EQ(read->table_rows, 7);
  EXPECT_EQ(SummaryAsJson(*read), nlohmann::ordered_json::parse(BytesOf(Out() / "summary.json")));
  EXPECT_EQ(SummaryAsCsv(*read), BytesOf(Out() / "summary.csv"));
  EXPECT_EQ(read->flights[0].outcome.survey_std.at("range_m"), 0.05);
}

TEST_F(Day, SummaryIsWrittenFlightByFlightAsItWouldBeAtOnce) {
  bad_clip_ = "launch-2.mp4";
  table_.rows[0].note = "a \"note\",\nof two lines";
  Expected<DaySummary> day = Run(Out());
  ASSERT_TRUE(day);
  EXPECT_EQ(*SummaryAsText(*day), *JsonText(SummaryAsJson(*day)));
  EXPECT_EQ(BytesOf(Out() / "summary.json"), *SummaryAsText(*day));
  day->flights.clear();
  EXPECT_EQ(*SummaryAsText(*day), *JsonText(SummaryAsJson(*day)));
}

TEST_F(Day, ShardsJoinToTheWholeDay) {
  ASSERT_TRUE(Run(Out("whole")));
  std::vector<fs::path> parts;
  for (int i = 1; i <= 3; ++i) {
    parts.push_back(Out(("part" + std::to_string(i)).c_str()));
    const Expected<DaySummary> part = MeasureDay(
        table_,
        parts.back(),
        {.shard = i, .shards = 3},
        [this](const DayRow& row, const fs::path& at, int, const RunControl&) { return MeasureMadeUp(row, at); });
    ASSERT_TRUE(part);
  }
  std::ranges::reverse(parts);
  const Expected<DaySummary> joined = MergeDays(parts, Out("joined"));
  ASSERT_TRUE(joined) << Describe(joined.error());
  EXPECT_EQ(Bytes(Out("joined")), Bytes(Out("whole")));

  const auto code_of = [&](const std::vector<fs::path>& some) {
    const Expected<DaySummary> bad = MergeDays(some, Out("bad"));
    return bad ? std::string("none") : bad.error().code + ": " + bad.error().message;
  };
  EXPECT_EQ(code_of({parts[0], parts[2]}), "shard-missing: Of 3 parts 2 is missing.");
  EXPECT_THAT(code_of({parts[0], parts[1], parts[1], parts[2]}), HasSubstr("shard-twice"));
  EXPECT_THAT(code_of({parts[0], Out("whole"), parts[2]}), HasSubstr("shard-foreign"));
  EXPECT_THAT(code_of({parts[0], Out("nowhere"), parts[2]}), HasSubstr("not-a-day"));
  const Expected<DaySummary> last = ReadSummary(parts[0]);
  fs::remove_all(parts[0] / last->flights[0].folder);
  EXPECT_THAT(code_of(parts), HasSubstr("shard-incomplete: Part 3 of 3 lacks the flights of line 4 of the table."));
  EXPECT_FALSE(fs::exists(Out("bad")));
}

TEST(Shards, EveryRowIsInOne) {
  std::vector<int> times(23, 0);
  for (int shard = 1; shard <= 5; ++shard) {
    for (const std::size_t row : RowsOfShard(times.size(), shard, 5)) ++times[row];
  }
  EXPECT_THAT(times, testing::Each(1));
  EXPECT_THAT(RowsOfShard(7, 2, 3), testing::ElementsAre(1, 4));
  EXPECT_TRUE(RowsOfShard(2, 3, 3).empty());
}

}  // namespace
}  // namespace loftline
