// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/messages.h"
#include "app/serve/clip_json.h"
#include "app/serve/draft_survey.h"
#include "app/serve/measure_sheet.h"
#include "app/serve/serve_context.h"
#include "calibrate/survey_file.h"
#include "core/json_file.h"

#include <functional>
#include <optional>
#include <utility>

namespace loftline {
namespace {

using Json = nlohmann::ordered_json;

// The clip of a request, or the answer that there is none.
WebResponse ForClip(const ServeContext& context,
                    const WebRequest& request,
                    const std::function<WebResponse(const FolderClip&)>& handle) {
  const std::optional<FolderClip> clip = context.folder.Find(request.parameters[0]);
  return clip ? handle(*clip) : ErrorResponse(NoSuchClip(), 404);
}

Json MeasuredAsJson(const std::optional<MeasuredSheet>& measured, const Draft& draft) {
  if (!measured) return nullptr;
  return {{"revision", measured->revision},
          {"current", measured->draft == DraftAsJson(draft)},
          {"verdict", measured->verdict}};
}

Expected<Json> SheetAsJson(const ServeContext& context, const FolderClip& clip) {
  const Expected<ClipSheet> look = context.frames.Look(clip.path);
  if (!look) return look.error();
  const Expected<SavedSheet> sheet = context.sheets.Load(clip);
  if (!sheet) return sheet.error();
  const std::optional<JobView> job = context.jobs.LastOf({clip.id, ""});
  return Json{{"id", clip.id},
              {"clip", ClipAsJson(clip, *look)},
              {"revision", sheet->revision},
              {"draft", DraftAsJson(sheet->draft)},
              {"check", CheckDraft(ReadDraft(sheet->draft, look->info)).json},
              {"job", job ? JobAsJson(*job) : Json()},
              {"measured", MeasuredAsJson(context.sheets.Measured(clip), sheet->draft)}};
}

WebResponse ShowSheet(const ServeContext& context, const FolderClip& clip) {
  const Expected<Json> sheet = SheetAsJson(context, clip);
  return sheet ? JsonResponse(*sheet) : ErrorResponse(sheet.error());
}

WebResponse ChangedElsewhere(const ServeContext& context, const FolderClip& clip) {
  const Expected<Json> sheet = SheetAsJson(context, clip);
  if (!sheet) return ErrorResponse(sheet.error());
  Json json = ErrorAsJson({ErrorKind::kInvalidInput,
                           "changed-elsewhere",
                           "This sheet was changed in another tab meanwhile.",
                           "The newer one is shown now: look at it and go on from there."});
  json["sheet"] = *sheet;
  return JsonResponse(json, 409);
}

struct SheetChange {
  int revision = 0;
  Draft draft;
};

Expected<SheetChange> ReadChange(const std::string& body) {
  Expected<JsonDocument> document = ParseJson(body, "");
  if (!document) return document.error();
  JsonObject root = document->root();
  SheetChange change;
  change.revision = root.Integer("revision");
  if (std::optional<JsonObject> draft = root.Child("draft")) change.draft = TakeDraft(*draft);
  if (Status status = document->Finish(); !status) return status.error();
  return change;
}

WebResponse SaveSheet(const ServeContext& context, const FolderClip& clip, const WebRequest& request) {
  const Expected<SheetChange> change = ReadChange(request.body);
  if (!change) return ErrorResponse(change.error(), 400);
  const Expected<ClipSheet> look = context.frames.Look(clip.path);
  if (!look) return ErrorResponse(look.error());
  const Expected<std::optional<SavedSheet>> saved = context.sheets.Save(clip, change->revision, change->draft);
  if (!saved) return ErrorResponse(saved.error());
  if (!*saved) return ChangedElsewhere(context, clip);
  const DraftReading reading = ReadDraft(change->draft, look->info);
  const DraftCheck check = CheckDraft(reading);
  // Other clips of the same stand are measured by this survey too, so it is written as soon as it can be used.
  if (check.ready && HasScale(reading.survey)) {
    if (Status status = WriteSurvey(context.sheets.FileOf(clip, ".survey.json"), reading.survey); !status) {
      return ErrorResponse(status.error());
    }
  }
  return JsonResponse({{"revision", (*saved)->revision},
                       {"check", check.json},
                       {"measured", MeasuredAsJson(context.sheets.Measured(clip), change->draft)}});
}

WebResponse StartMeasuring(const ServeContext& context, const FolderClip& clip, const WebRequest& request) {
  Expected<JsonDocument> document = ParseJson(request.body, "");
  if (!document) return ErrorResponse(document.error(), 400);
  JsonObject root = document->root();
  const int revision = root.Integer("revision");
  if (Status status = document->Finish(); !status) return ErrorResponse(status.error(), 400);
  const Expected<SavedSheet> sheet = context.sheets.Load(clip);
  if (!sheet) return ErrorResponse(sheet.error());
  if (sheet->revision != revision) return ChangedElsewhere(context, clip);
  const Expected<ClipSheet> look = context.frames.Look(clip.path);
  if (!look) return ErrorResponse(look.error());
  const DraftCheck check = CheckDraft(ReadDraft(sheet->draft, look->info));
  if (!check.ready) {
    Json json = ErrorAsJson({ErrorKind::kInvalidInput,
                             "not-ready",
                             "The sheet cannot be measured yet.",
                             "Complete the part 'Metres'; what is missing stands there."});
    json["check"] = check.json;
    return JsonResponse(json, 422);
  }
  const JobView job = context.jobs.Start(
      "measure", {clip.id, ""}, [context, clip, saved = *sheet](const RunControl& control, JobReport& report) {
        return MeasureSheet(context, clip, saved, control, report);
      });
  return JsonResponse(JobAsJson(job), 202);
}

Error NotMeasured() {
  return {ErrorKind::kInvalidInput, "not-measured", "This clip has not been measured yet.", "Measure it first."};
}

WebResponse ShowAnswers(const ServeContext& context, const FolderClip& clip) {
  const std::optional<MeasuredSheet> measured = context.sheets.Measured(clip);
  if (!measured) return ErrorResponse(NotMeasured(), 404);
  Json json = measured->answers;
  json["files"] = SheetFilesAsJson(context.sheets, clip);
  return JsonResponse(json);
}

WebResponse ShowTrack(const ServeContext& context, const FolderClip& clip) {
  const std::optional<MeasuredSheet> measured = context.sheets.Measured(clip);
  return measured ? JsonResponse(measured->track) : ErrorResponse(NotMeasured(), 404);
}

std::string TypeOf(const std::filesystem::path& path) {
  const std::string ending = path.extension().string();
  if (ending == ".html") return "text/html; charset=utf-8";
  if (ending == ".png") return "image/png";
  if (ending == ".json") return "application/json; charset=utf-8";
  if (ending == ".csv") return "text/csv; charset=utf-8";
  return ending == ".mp4" ? "video/mp4" : "application/octet-stream";
}

WebResponse ShowFile(const ServeContext& context, const FolderClip& clip, const WebRequest& request) {
  const std::optional<std::filesystem::path> path = SheetFile(context.sheets, clip, request.parameters[1]);
  if (!path) {
    return ErrorResponse({ErrorKind::kInvalidInput, "not-found", "There is no such file.", "Measure the clip."}, 404);
  }
  return FileResponse(*path, TypeOf(*path), request.query.contains("download"));
}

WebResponse ListSurveys(const ServeContext& context) {
  Json surveys = Json::array();
  for (const FolderClip& clip : context.folder.Clips()) {
    if (!context.sheets.Has(clip)) continue;
    const Expected<SavedSheet> sheet = context.sheets.Load(clip);
    const Expected<ClipSheet> look = context.frames.Look(clip.path);
    if (!sheet || !look || sheet->draft.baselines.empty()) continue;
    surveys.push_back({{"id", clip.id},
                       {"clip", clip.name},
                       {"width_px", look->info.width_px},
                       {"height_px", look->info.height_px},
                       {"draft", DraftAsJson(sheet->draft)}});
  }
  return JsonResponse({{"surveys", std::move(surveys)}});
}

}  // namespace

void AddSheetRoutes(Router* router, const ServeContext& context) {
  using Handle = WebResponse (*)(const ServeContext&, const FolderClip&, const WebRequest&);
  const auto with_clip = [context](Handle handle) {
    return [context, handle](const WebRequest& request) {
      return ForClip(context, request, [&](const FolderClip& clip) { return handle(context, clip, request); });
    };
  };
  router->Get("/api/surveys", [context](const WebRequest&) { return ListSurveys(context); });
  router->Get("/api/sheets/{}", with_clip([](const ServeContext& all, const FolderClip& clip, const WebRequest&) {
                return ShowSheet(all, clip);
              }));
  router->Put("/api/sheets/{}", with_clip(SaveSheet));
  router->Post("/api/sheets/{}/measure", with_clip(StartMeasuring));
  router->Get("/api/sheets/{}/answers",
              with_clip([](const ServeContext& all, const FolderClip& clip, const WebRequest&) {
                return ShowAnswers(all, clip);
              }));
  router->Get("/api/sheets/{}/track", with_clip([](const ServeContext& all, const FolderClip& clip, const WebRequest&) {
                return ShowTrack(all, clip);
              }));
  router->Post(
      "/api/sheets/{}/overlay", with_clip([](const ServeContext& all, const FolderClip& clip, const WebRequest&) {
        if (!all.sheets.Measured(clip)) return ErrorResponse(NotMeasured(), 404);
        const JobView job =
            all.jobs.Start("overlay", {clip.id, ""}, [all, clip](const RunControl& control, JobReport& report) {
              report.Stage("drawing");
              return DrawSheetOverlay(all, clip, control);
            });
        return JsonResponse(JobAsJson(job), 202);
      }));
  router->Get("/api/sheets/{}/files/{}", with_clip(ShowFile));
}

}  // namespace loftline
