// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/clip_json.h"
#include "app/serve/serve_context.h"
#include "core/values_json.h"
#include "tracker/frame_source.h"

#include <charconv>
#include <optional>
#include <utility>

#include <fmt/format.h>

namespace loftline {
namespace {

WebResponse ListClips(const ServeContext& context) {
  nlohmann::ordered_json clips = nlohmann::ordered_json::array();
  for (const FolderClip& clip : context.folder.Clips()) {
    const std::optional<MeasuredSheet> measured = context.sheets.Measured(clip);
    clips.push_back({{"id", clip.id},
                     {"name", clip.name},
                     {"path", clip.in_folder},
                     {"bytes", clip.bytes},
                     {"modified_s", clip.modified_s},
                     {"has_sheet", context.sheets.Has(clip)},
                     {"verdict", measured ? nlohmann::ordered_json(measured->verdict) : nullptr}});
  }
  return JsonResponse({{"clips", std::move(clips)}});
}

WebResponse TakeClip(const ServeContext& context, const WebRequest& request) {
  Expected<WorkFolder::Upload> upload = context.folder.BeginUpload();
  if (!upload) return ErrorResponse(upload.error());
  Status written = Done{};
  const bool whole = request.read_body([&](std::string_view piece) {
    written = upload->Write(piece);
    return static_cast<bool>(written);
  });
  if (!written) return ErrorResponse(written.error());
  if (!whole) {
    return ErrorResponse({ErrorKind::kInvalidInput, "cut-short", "The clip did not arrive whole.", "Drop it again."},
                         400);
  }
  const auto name = request.query.find("name");
  const Expected<std::string> id = context.folder.FinishUpload(std::move(*upload),
                                                               name == request.query.end() ? "" : name->second,
                                                               [](const std::filesystem::path& path) -> Status {
                                                                 const auto opened = OpenClip(path, {1});
                                                                 if (opened) return Done{};
                                                                 Error error = opened.error();
                                                                 error.file.clear();  // a name that nobody has given
                                                                 return error;
                                                               });
  if (!id) return ErrorResponse(id.error());
  return JsonResponse({{"id", *id}}, 201);
}

WebResponse ShowFrame(const ServeContext& context, const WebRequest& request) {
  const std::optional<FolderClip> clip = context.folder.Find(request.parameters[0]);
  if (!clip) return ErrorResponse(NoSuchClip(), 404);
  const std::string& text = request.parameters[1];
  int frame = -1;
  const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), frame);
  if (problem != std::errc() || end != text.data() + text.size() || frame < 0) {
    return ErrorResponse({ErrorKind::kInvalidInput, "bad-value", "Frames are whole numbers from 0.", ""}, 400);
  }
  WebResponse response;
  response.content_type = "image/jpeg";
  // The clip's size and time of change are in the tag: another clip of this name is another picture.
  const std::string tag = fmt::format("\"{}-{}-{}-{}\"", clip->id, clip->bytes, clip->modified_s, frame);
  response.headers = {{"ETag", tag}, {"Cache-Control", "private, max-age=3600"}};
  if (request.if_none_match == tag) {
    response.status = 304;
    return response;
  }
  const Expected<std::shared_ptr<const std::string>> jpeg = context.frames.Jpeg(clip->path, frame);
  if (!jpeg) return ErrorResponse(jpeg.error());
  response.shared_body = *jpeg;
  return response;
}

}  // namespace

Error NoSuchClip() {
  return {ErrorKind::kInvalidInput,
          "no-such-clip",
          "This clip is not in the folder any more.",
          "Put it back, or choose another one."};
}

nlohmann::ordered_json ClipAsJson(const FolderClip& clip, const ClipSheet& look) {
  const ClipInfo& info = look.info;
  return {{"id", clip.id},
          {"name", clip.name},
          {"width_px", info.width_px},
          {"height_px", info.height_px},
          {"rotation_deg", info.rotation_deg},
          {"stored_rate_hz", info.stored_rate_hz},
          {"capture_rate_hz", info.capture_rate_hz ? nlohmann::ordered_json(*info.capture_rate_hz) : nullptr},
          {"duration_s", info.duration_s},
          {"frames", look.times_s.size()},
          {"remarks", FindingsAsJson(look.remarks)}};
}

void AddClipRoutes(Router* router, const ServeContext& context) {
  router->Get("/api/clips", [context](const WebRequest&) { return ListClips(context); });
  router->PostStreamed("/api/clips", context.most_upload_bytes, [context](const WebRequest& request) {
    return TakeClip(context, request);
  });
  router->Get("/api/clips/{}", [context](const WebRequest& request) {
    const std::optional<FolderClip> clip = context.folder.Find(request.parameters[0]);
    if (!clip) return ErrorResponse(NoSuchClip(), 404);
    const Expected<ClipSheet> look = context.frames.Look(clip->path);
    if (!look) return ErrorResponse(look.error());
    nlohmann::ordered_json json = ClipAsJson(*clip, *look);
    json["times_s"] = look->times_s;
    return JsonResponse(json);
  });
  router->Get("/api/clips/{}/frames/{}", [context](const WebRequest& request) { return ShowFrame(context, request); });
}

}  // namespace loftline
