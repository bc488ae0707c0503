// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// A launch day by way of the server's routes, on two clips whose flights the renderer knows (sample-clips/truth).
#include "app/serve/day_routes.h"

#include "tests/core/temporary_folder.h"

#include <chrono>
#include <thread>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;
using testing::Contains;

const fs::path kSamples = fs::path(LOFTLINE_SOURCE_DIR) / "sample-clips";
constexpr const char* kTwoClips =
    "clip,survey,design,launch,mass_g,mass_std_g,diameter_mm,diameter_std_mm,nose\n"
    "clips/01-whole-arc.mp4,surveys/01-whole-arc.survey.json,Heron,1,6.58,0.05,24.06,0.10,ogive\n"
    "clips/06-to-the-left.mp4,surveys/06-to-the-left.survey.json,Puffin,2,6.47,0.05,23.78,0.10,blunt\n";

// One start of the server: routes and jobs go with it, files stay.
struct Running {
  explicit Running(const fs::path& folder) : work(Opened(folder)) { AddDayRoutes(&router, *work, jobs); }
  static std::unique_ptr<WorkFolder> Opened(const fs::path& folder) {
    Expected<std::unique_ptr<WorkFolder>> opened = WorkFolder::Open(folder);
    return opened ? std::move(*opened) : nullptr;
  }

  WebResponse Ask(const std::string& method,
                  const std::string& path,
                  const std::string& body = "",
                  std::map<std::string, std::string> query = {}) {
    const Router::Match match = router.Find(method, path);
    if (match.route == nullptr) return {.status = 404};
    WebRequest request;
    request.method = method;
    request.path = path;
    request.parameters = match.parameters;
    request.body = body;
    request.query = std::move(query);
    return match.route->handler(request);
  }
  Json Day() { return Json::parse(Ask("GET", "/api/days/Flats").body); }
  std::string Revision() { return Day()["revision"]; }

  // The job that an answer is of, when it is over.
  JobView Over(const WebResponse& started) {
    EXPECT_EQ(started.status, 202) << started.body;
    const std::string id = Json::parse(started.body).value("id", "");
    for (int i = 0; i < 2400; ++i) {
      const std::optional<JobView> job = jobs.Find(id);
      if (job && IsOver(*job)) return *job;
      std::this_thread::sleep_for(std::chrono::milliseconds(50));
    }
    return {};
  }

  std::unique_ptr<WorkFolder> work;
  Router router;
  JobBoard jobs;
};

class DayRoutes : public testing::Test {
 protected:
  DayRoutes() {
    for (const char* part : {"clips", "surveys"}) fs::create_directories(files_.path() / part);
    for (const char* file : {"clips/01-whole-arc.mp4",
                             "clips/06-to-the-left.mp4",
                             "surveys/01-whole-arc.survey.json",
                             "surveys/06-to-the-left.survey.json"}) {
      fs::copy_file(kSamples / file, files_.path() / file);
    }
  }
  void Begin(Running& server) const {
    EXPECT_EQ(server.Ask("POST", "/api/days", R"({"name": "Flats"})").status, 201);
    const WebResponse imported =
        server.Ask("POST", "/api/days/Flats/import", kTwoClips, {{"revision", server.Revision()}, {"mode", "add"}});
    ASSERT_EQ(imported.status, 200) << imported.body;
    EXPECT_EQ(Json::parse(imported.body)["problems"].size(), 0U) << imported.body;
  }
  static double Number(const Json& flight, const char* key) {
    return std::stod(flight["numbers"][key]["value"].get<std::string>());
  }
  static Json Truth(const std::string& name) {
    return Json::parse(BytesOf(kSamples / "truth" / (name + ".truth.json")));
  }

  TemporaryFolder files_;
};

TEST_F(DayRoutes, FromATableToAComparisonAndACheckThatOutliveTheServer) {
  const std::string simulated = BytesOf(kSamples / "simulated/01-whole-arc.csv");
  {
    Running server(files_.path());
    Begin(server);
    EXPECT_TRUE(server.Day()["summary"].is_null());
    EXPECT_EQ(Json::parse(server.Ask("GET", "/api/days").body)["days"][0]["state"], "table");
    const JobView run = server.Over(server.Ask("POST", "/api/days/Flats/run"));
    ASSERT_EQ(run.state, JobState::kDone) << (run.error ? Describe(*run.error) : "");
    EXPECT_EQ(run.details["done"], 2);
    EXPECT_EQ(run.details["clips"][0]["outcome"], "measured");
    const JobView compared = server.Over(server.Ask("POST", "/api/days/Flats/compare", R"({"variable": "nose"})"));
    EXPECT_EQ(compared.state, JobState::kDone);
    const JobView checked = server.Over(server.Ask("POST", "/api/days/Flats/check", simulated, {{"design", "Heron"}}));
    EXPECT_EQ(checked.state, JobState::kDone) << (checked.error ? Describe(*checked.error) : "");
  }
  Running again(files_.path());
  const Json day = again.Day();
  EXPECT_TRUE(day["summary"]["current"]);
  ASSERT_EQ(day["summary"]["flights"].size(), 2U);
  const Json flight = day["summary"]["flights"][0];
  EXPECT_EQ(flight["clip"], "clips/01-whole-arc.mp4");
  const Json truth = Truth("01-whole-arc");
  EXPECT_NEAR(Number(flight, "launch_speed"), truth["flight"]["launch_speed_m_s"], 0.3);  // its 95 % are 0.18
  EXPECT_NEAR(Number(flight, "apogee"), truth["flight"]["apogee_m"], 0.06);               // 0.035
  EXPECT_NEAR(Number(flight, "range"), truth["flight"]["range_m"], 0.09);                 // 0.051
  EXPECT_EQ(day["comparison"]["grouped_by"], "nose");
  EXPECT_EQ(day["comparison"]["designs"][0]["name"], "nose ogive");
  EXPECT_EQ(day["check"]["asked"]["design"], "Heron");
  const JobView asked_again = again.Over(again.Ask("POST", "/api/days/Flats/check", "", {{"as_measured", "1"}}));
  EXPECT_EQ(asked_again.state, JobState::kDone);  // of the table that is there
  EXPECT_EQ(again.Day()["check"]["asked"]["launch_as_measured"], true);
  EXPECT_EQ(again.Day()["check"]["flights"].size(), 2U);
  ASSERT_EQ(day["check"]["flights"].size(), 1U);
  EXPECT_EQ(day["check"]["flights"][0]["clip"], "01-whole-arc.mp4");
  for (const char* file : {"results/index.html", "comparison.html", "check/validation.html", "simulator.csv"}) {
    EXPECT_THAT(day["files"], Contains(file));
    EXPECT_EQ(again.Ask("GET", std::string("/api/days/Flats/files/") + file).status, 200) << file;
  }
  const std::string report = flight["report"];
  const WebResponse shown = again.Ask("GET", "/api/days/Flats/files/" + report);
  EXPECT_EQ(shown.status, 200) << report;
  // Reports carry their own styles and scripts, which the page's policy would not let run.
  EXPECT_THAT(shown.headers,
              Contains(testing::Pair("Content-Security-Policy", testing::HasSubstr("style-src 'unsafe-inline'"))));
  EXPECT_EQ(again.Ask("GET", "/api/days/Flats/files/%2e%2e/Flats/day.csv").status, 404);
}

TEST_F(DayRoutes, ARunThatIsCancelledGoesOnWhereItStopped) {
  Running server(files_.path());
  Begin(server);
  const WebResponse started = server.Ask("POST", "/api/days/Flats/run");
  EXPECT_EQ(server.Ask("POST", "/api/days/Flats/run").status, 409);
  server.jobs.Cancel(Json::parse(started.body)["id"]);
  EXPECT_EQ(server.Over(started).state, JobState::kCancelled);
  const JobView run = server.Over(server.Ask("POST", "/api/days/Flats/run"));
  EXPECT_EQ(run.state, JobState::kDone);
  EXPECT_EQ(server.Day()["summary"]["counts"]["measured"], 2);
  EXPECT_FALSE(server.Day()["comparison"].is_null());  // without being asked for
}

TEST_F(DayRoutes, AChangeOfTheTableShowsInTheResults) {
  Running server(files_.path());
  Begin(server);
  ASSERT_EQ(server.Over(server.Ask("POST", "/api/days/Flats/run")).state, JobState::kDone);
  Json day = server.Day();
  day["rows"][0][2] = "Curlew";
  const Json change = {{"revision", day["revision"]}, {"columns", day["columns"]}, {"rows", day["rows"]}};
  EXPECT_EQ(server.Ask("PUT", "/api/days/Flats", change.dump()).status, 200);
  EXPECT_FALSE(server.Day()["summary"]["current"]);
  const WebResponse late = server.Ask("PUT", "/api/days/Flats", change.dump());
  EXPECT_EQ(late.status, 409);
  EXPECT_EQ(Json::parse(late.body)["error"]["code"], "changed-elsewhere");
  EXPECT_EQ(Json::parse(late.body)["day"]["rows"][0][2], "Curlew");
  const fs::path report =
      files_.path() / "loftline-work/days/Flats" / day["summary"]["flights"][0]["report"].get<std::string>();
  const auto measured_at = fs::last_write_time(report);
  ASSERT_EQ(server.Over(server.Ask("POST", "/api/days/Flats/run")).state, JobState::kDone);
  EXPECT_EQ(fs::last_write_time(report), measured_at);  // a name measures nothing again
  EXPECT_EQ(server.Day()["summary"]["flights"][0]["design"], "Curlew");
}

TEST_F(DayRoutes, RefusesWhatItCannotDo) {
  Running server(files_.path());
  EXPECT_EQ(server.Ask("GET", "/api/days/Flats").status, 404);
  EXPECT_EQ(server.Ask("POST", "/api/days", R"({"name": "../x"})").status, 400);
  EXPECT_EQ(server.Ask("POST", "/api/days", "no json").status, 400);
  EXPECT_EQ(server.Ask("POST", "/api/days", R"({"name": "Flats"})").status, 201);
  EXPECT_EQ(server.Ask("POST", "/api/days", R"({"name": "Flats"})").status, 409);
  EXPECT_EQ(server.Ask("POST", "/api/days/Flats/run").status, 422);  // no row yet
  for (const char* body : {"",
                           "[]",
                           "{}",
                           R"({"revision": 1, "columns": [], "rows": []})",
                           R"({"revision": "a", "columns": ["clip"], "rows": [[1]]})",
                           R"({"revision": "a", "columns": ["clip"], "rows": {}, "more": 1})"}) {
    EXPECT_EQ(server.Ask("PUT", "/api/days/Flats", body).status, 400) << body;
  }
  EXPECT_EQ(server.Ask("POST", "/api/days/Flats/import", "\"open\n", {{"revision", server.Revision()}}).status, 422);
  const JobView checked = server.Over(server.Ask("POST", "/api/days/Flats/check", "t,x,y\n0,0,0\n"));
  EXPECT_EQ(checked.state, JobState::kFailed);  // nothing was measured
  ASSERT_TRUE(checked.error);
  EXPECT_EQ(checked.error->code, "not-a-day");
  EXPECT_EQ(server.Ask("POST", "/api/days/Flats/check").status, 404);  // no table was brought yet
  EXPECT_EQ(server.Ask("GET", "/api/days/Flats/files/comparison.html").status, 404);
}

}  // namespace
}  // namespace loftline::test
