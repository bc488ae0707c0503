// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/day_routes.h"

#include "app/messages.h"
#include "app/serve/day_answers.h"
#include "app/serve/day_check.h"
#include "app/serve/day_choices.h"
#include "app/serve/day_comparison.h"
#include "app/serve/day_files.h"
#include "app/serve/day_run.h"

#include <algorithm>
#include <memory>
#include <thread>

namespace loftline {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

WebResponse Refusal(const Error& error) {
  if (error.code == "no-day" || error.code == "no-file" || error.code == "not-a-day") return ErrorResponse(error, 404);
  if (error.code == "day-exists" || error.code == "in-use") return ErrorResponse(error, 409);
  return ErrorResponse(error);
}

std::string Asked(const WebRequest& request, const std::string& key) {
  const auto found = request.query.find(key);
  return found == request.query.end() ? "" : found->second;
}

// What all routes work on; they hold it together.
class DayDesk {
 public:
  DayDesk(const WorkFolder& folder, JobBoard& jobs) : store_(std::make_shared<DayStore>(&folder)), jobs_(jobs) {}

  WebResponse List() const {
    Json days = Json::array();
    for (const std::string& name : store_->Names()) days.push_back(InList(name));
    Json tables = Json::array();
    for (const FoundTable& table : store_->Tables()) tables.push_back({{"path", table.path}, {"rows", table.rows}});
    return JsonResponse({{"days", std::move(days)}, {"tables", std::move(tables)}});
  }

  WebResponse Make(const WebRequest& request) {
    const Json json = Json::parse(request.body, nullptr, false);
    if (!json.is_object() || !json.contains("name") || !json["name"].is_string()) {
      return ErrorResponse({ErrorKind::kUsage, "bad-value", "The name is missing.", "Load the page again."});
    }
    const Expected<StoredDay> made = store_->Make(json["name"].get<std::string>());
    if (!made) return Refusal(made.error());
    if (json.contains("table") && json["table"].is_string()) {
      const Expected<StoredDay> filled =
          store_->ImportFrom(made->name, made->revision, json["table"].get<std::string>());
      if (!filled) return Refusal(filled.error());
    }
    return JsonResponse({{"name", made->name}}, 201);
  }

  WebResponse Show(const std::string& name) const {
    const Expected<StoredDay> day = store_->Read(name);
    if (!day) return Refusal(day.error());
    const Expected<Json> table = Table(*day);
    if (!table) return Refusal(table.error());
    Json json = *table;
    const fs::path folder = store_->FolderOf(name);
    const std::optional<JobView> job = jobs_.LastOf(OwnerOf(name));
    const Expected<DaySummary> summary = ReadDaySummary(folder);
    json["choices"] = ChoicesAsJson(store_->work());
    json["job"] = job ? JobAsJson(*job) : Json();
    json["summary"] = summary ? SummaryInShort(*summary, *store_, name) : Json();
    json["comparison"] = ReadComparison(folder);
    json["check"] = ReadCheck(folder);
    json["files"] = DayFiles(folder);
    return JsonResponse(json);
  }

  WebResponse Write(const std::string& name, const WebRequest& request) {
    const Expected<GridRequest> wanted = ReadGridRequest(request.body);
    if (!wanted) return Refusal(wanted.error());
    return Written(name, store_->Write(name, wanted->revision, wanted->grid));
  }

  WebResponse Import(const std::string& name, const WebRequest& request) {
    const bool replace = Asked(request, "mode") == "replace";
    return Written(name, store_->Import(name, Asked(request, "revision"), request.body, replace));
  }

  WebResponse Run(const std::string& name) {
    const Expected<StoredDay> day = store_->Read(name);
    if (!day) return Refusal(day.error());
    const Expected<std::vector<CellProblem>> problems = FindProblems(*store_, *day);
    if (!problems) return Refusal(problems.error());
    if (day->grid.rows.empty() || !problems->empty()) return NotReady(problems->size());
    if (const auto last = jobs_.LastOf(OwnerOf(name), "day"); last && !IsOver(*last)) {
      return Refusal(
          {ErrorKind::kInvalidInput, "in-use", "This day is being measured already.", "Watch it, or cancel it first."});
    }
    const int at_once = static_cast<int>(std::clamp(std::thread::hardware_concurrency(), 1U, 64U));
    return Started(jobs_.Start(
        "day", OwnerOf(name), [store = store_, name, at_once](const RunControl& control, JobReport& report) {
          return RunDay(*store, name, at_once, control, report);
        }));
  }

  WebResponse Compare(const std::string& name, const WebRequest& request) {
    if (const Expected<StoredDay> day = store_->Read(name); !day) return Refusal(day.error());
    const Json json = Json::parse(request.body.empty() ? "{}" : request.body, nullptr, false);
    std::optional<std::string> variable;
    if (json.is_object() && json.contains("variable") && json["variable"].is_string()) {
      variable = json["variable"].get<std::string>();
      if (variable == "design" || variable->empty()) variable.reset();
    }
    const fs::path folder = store_->FolderOf(name);
    return Started(jobs_.Start("compare", OwnerOf(name), [folder, variable](const RunControl&, JobReport& report) {
      report.Stage("comparing");
      return CompareDay(folder, variable);
    }));
  }

  WebResponse Check(const std::string& name, const WebRequest& request) {
    if (const Expected<StoredDay> day = store_->Read(name); !day) return Refusal(day.error());
    const CheckAsked asked{Asked(request, "design"),
                           Asked(request, "launch"),
                           Asked(request, "columns"),
                           Asked(request, "align"),
                           Asked(request, "as_measured") == "1"};
    const fs::path folder = store_->FolderOf(name);
    const Expected<std::string> csv = request.body.empty() ? ReadSimulator(folder) : request.body;
    if (!csv) return Refusal(csv.error());
    return Started(
        jobs_.Start("check", OwnerOf(name), [folder, asked, csv = *csv](const RunControl& control, JobReport& report) {
          report.Stage("checking");
          return CheckSimulator(folder, csv, asked, control);
        }));
  }

  WebResponse File(const WebRequest& request) const {
    const std::string& name = request.parameters.front();
    if (const Expected<StoredDay> day = store_->Read(name); !day) return Refusal(day.error());
    const std::vector<std::string> parts(request.parameters.begin() + 1, request.parameters.end());
    const Expected<DayFile> file = FindDayFile(store_->FolderOf(name), parts);
    if (!file) return Refusal(file.error());
    return FileResponse(file->path, file->content_type, Asked(request, "download") == "1");
  }

 private:
  static JobOwner OwnerOf(const std::string& name) { return {"", name}; }
  static WebResponse Started(const JobView& job) { return JsonResponse(JobAsJson(job), 202); }

  static WebResponse NotReady(std::size_t problems) {
    return Refusal(
        {ErrorKind::kInvalidInput,
         "bad-table",
         problems == 0 ? "The table has no row yet." : "Some cells of the table cannot be used as they stand.",
         "Nothing was measured: mend the table, or tick a row as skipped, and run the day again."});
  }

  Json InList(const std::string& name) const {
    const Expected<StoredDay> day = store_->Read(name);
    if (!day) return {{"name", name}, {"rows", nullptr}, {"state", "unreadable"}};
    const std::optional<JobView> job = jobs_.LastOf(OwnerOf(name), "day");
    std::error_code problem;
    const char* state = day->grid.rows.empty() ? "empty" : "table";
    if (fs::exists(store_->FolderOf(name) / kDayResults / "summary.json", problem)) state = "measured";
    if (job && !IsOver(*job)) state = "running";
    return {{"name", name}, {"rows", day->grid.rows.size()}, {"state", state}};
  }

  Expected<Json> Table(const StoredDay& day) const {
    const Expected<std::vector<CellProblem>> problems = FindProblems(*store_, day);
    if (!problems) return problems.error();
    return TableAsJson(day, *problems);
  }

  WebResponse Written(const std::string& name, const Expected<StoredDay>& written) const {
    if (!written && written.error().code == "changed-elsewhere") return Changed(name, written.error());
    if (!written) return Refusal(written.error());
    const Expected<Json> table = Table(*written);
    return table ? JsonResponse(*table) : Refusal(table.error());
  }

  WebResponse Changed(const std::string& name, const Error& error) const {
    const Expected<StoredDay> now = store_->Read(name);
    if (!now) return Refusal(now.error());
    const Expected<Json> table = Table(*now);
    if (!table) return Refusal(table.error());
    Json json = ErrorAsJson(error);
    json["day"] = *table;
    return JsonResponse(json, 409);
  }

  std::shared_ptr<DayStore> store_;  // with the jobs, which may outlive this
  JobBoard& jobs_;
};

}  // namespace

void AddDayRoutes(Router* router, const WorkFolder& folder, JobBoard& jobs) {
  const auto desk = std::make_shared<DayDesk>(folder, jobs);
  const auto named = [desk](WebResponse (DayDesk::*does)(const std::string&, const WebRequest&)) {
    return [desk, does](const WebRequest& request) { return ((*desk).*does)(request.parameters.front(), request); };
  };
  router->Get("/api/days", [desk](const WebRequest&) { return desk->List(); });
  router->Post("/api/days", [desk](const WebRequest& request) { return desk->Make(request); });
  router->Get("/api/days/{}", [desk](const WebRequest& request) { return desk->Show(request.parameters.front()); });
  router->Put("/api/days/{}", named(&DayDesk::Write));
  router->Post("/api/days/{}/import", named(&DayDesk::Import));
  router->Post("/api/days/{}/run", [desk](const WebRequest& request) { return desk->Run(request.parameters.front()); });
  router->Post("/api/days/{}/compare", named(&DayDesk::Compare));
  router->Post("/api/days/{}/check", named(&DayDesk::Check));
  for (const char* path : {"{}", "{}/{}", "{}/{}/{}", "{}/{}/{}/{}"}) {
    router->Get(std::string("/api/days/{}/files/") + path,
                [desk](const WebRequest& request) { return desk->File(request); });
  }
}

}  // namespace loftline
