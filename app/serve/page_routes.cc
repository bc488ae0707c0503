// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/page_files.h"
#include "app/serve/serve_context.h"
#include "report/page_assets.h"

#include <functional>
#include <string_view>

#include <fmt/format.h>

namespace loftline {
namespace {

// A piece that is built into the program: it stays the same for as long as the program does, so that a browser need not
// take it twice.
void AddPiece(Router* router, const std::string& path, const std::string& type, std::string_view bytes) {
  const std::string tag = fmt::format("\"{:016x}\"", std::hash<std::string_view>{}(bytes));
  router->Get(path, [type, bytes, tag](const WebRequest& request) {
    WebResponse response;
    response.content_type = type;
    response.headers = {{"ETag", tag}, {"Cache-Control", "private, no-cache"}};
    if (request.if_none_match == tag) {
      response.status = 304;
    } else {
      response.body = bytes;
    }
    return response;
  });
}

Error NoSuchJob() {
  return {ErrorKind::kInvalidInput, "not-found", "There is no such job any more.", "Load the page anew."};
}

}  // namespace

void AddPageRoutes(Router* router, const ServeContext& context) {
  constexpr const char* kScript = "text/javascript; charset=utf-8";
  constexpr const char* kStyle = "text/css; charset=utf-8";
  AddPiece(router, "/", "text/html; charset=utf-8", app_page::kIndexHtml);
  AddPiece(router, "/page/app.js", kScript, app_page::kAppJs);
  AddPiece(router, "/page/app.css", kStyle, app_page::kAppCss);
  AddPiece(router, "/shared/base.css", kStyle, page_assets::kBaseCss);
  AddPiece(router, "/shared/report.css", kStyle, page_assets::kReportCss);
  AddPiece(router, "/shared/uplot.css", kStyle, page_assets::kPlotCss);
  AddPiece(router, "/shared/uplot.js", kScript, page_assets::kPlotJs);
  AddPiece(router, "/shared/flight_plots.js", kScript, page_assets::kFlightPlotsJs);

  router->Get("/api/state", [context](const WebRequest&) {
    return JsonResponse({{"folder", context.folder.path().filename().string()},
                         {"version", LOFTLINE_VERSION},
                         {"limits", {{"upload_bytes", context.most_upload_bytes}}},
                         {"lan", context.lan}});
  });
  router->Get("/api/jobs/{}", [context](const WebRequest& request) {
    const std::optional<JobView> job = context.jobs.Find(request.parameters[0]);
    return job ? JsonResponse(JobAsJson(*job)) : ErrorResponse(NoSuchJob(), 404);
  });
  router->Delete("/api/jobs/{}", [context](const WebRequest& request) {
    const std::optional<JobView> job = context.jobs.Cancel(request.parameters[0]);
    return job ? JsonResponse(JobAsJson(*job)) : ErrorResponse(NoSuchJob(), 404);
  });
}

}  // namespace loftline
