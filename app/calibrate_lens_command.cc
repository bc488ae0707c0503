// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/board_pictures.h"
#include "app/calibrate_commands.h"
#include "app/camera_output.h"
#include "app/command_line.h"
#include "app/exit_status.h"
#include "app/messages.h"
#include "app/progress_line.h"
#include "calibrate/lens.h"
#include "core/text.h"
#include "report/format_number.h"

#include <charconv>
#include <ostream>

#include <fmt/format.h>

namespace loftline {
namespace {

using Json = nlohmann::ordered_json;
constexpr int kLeastAcross = 3, kMostAcross = 40;
constexpr std::size_t kNamesInMessage = 4;

struct LensRequest {
  std::vector<std::string> files;
  std::optional<std::string> board, out;
};

struct MeasuredLens {
  BoardPictures pictures;
  LensCalibration lens;
};

// "9x6", "9 x 6", "9×6".
Expected<BoardSize> ReadBoardSize(const std::string& text) {
  const std::size_t cross = text.find_first_of("xX*") != std::string::npos ? text.find_first_of("xX*") : text.find("×");
  const std::size_t length = cross != std::string::npos && text[cross] == "×"[0] ? 2 : 1;
  BoardSize size{0, 0};
  const auto read = [](std::string_view part, int* value) {
    part = Trimmed(part);
    const auto [end, problem] = std::from_chars(part.data(), part.data() + part.size(), *value);
    return problem == std::errc() && end == part.data() + part.size() && *value >= kLeastAcross &&
           *value <= kMostAcross;
  };
  if (cross != std::string::npos && read(std::string_view(text).substr(0, cross), &size.across) &&
      read(std::string_view(text).substr(cross + length), &size.down)) {
    return size;
  }
  return Error{ErrorKind::kInvalidInput,
               "bad-value",
               Quoted(text) + " is no board.",
               "Count the corners where four squares meet: 10 x 7 squares have \"9x6\" corners.",
               "",
               0,
               "--board"};
}

std::string Listed(const std::vector<std::string>& names) {
  std::string text;
  for (std::size_t i = 0; i < std::min(names.size(), kNamesInMessage); ++i) text += (i > 0 ? ", " : "") + names[i];
  if (names.size() > kNamesInMessage) text += fmt::format(" and {} more", names.size() - kNamesInMessage);
  return text;
}

// A refusal of the calibration, with what the pictures have to do with it.
Error WithPictures(Error error, const BoardPictures& pictures, BoardSize size) {
  if (error.code != "too-few-boards") return error;
  if (!pictures.without.empty()) {
    error.message += fmt::format(
        " No whole board of {} x {} corners was found in {}.", size.across, size.down, Listed(pictures.without));
  }
  if (pictures.boards.empty()) {
    error.code = "no-board";
    error.advice =
        "Check --board (corners where four squares meet, not squares); the whole board with its white margin "
        "must be in the picture, sharp and evenly lit.";
  }
  return error;
}

Expected<MeasuredLens> MeasureLens(const LensRequest& request, Streams io, const RunControl& control) {
  BoardSize size;
  if (request.board) {
    const Expected<BoardSize> read = ReadBoardSize(*request.board);
    if (!read) return read.error();
    size = *read;
  }
  ProgressLine progress("looking for the board", 0, io);
  Expected<BoardPictures> pictures = ReadBoards(request.files, size, progress.Watching(control));
  if (!pictures) return pictures.error();
  Expected<LensCalibration> lens = CalibrateLens(pictures->boards, size, pictures->width_px, pictures->height_px);
  if (!lens) return WithPictures(lens.error(), *pictures, size);
  if (request.out) {
    Expected<PhoneCamera> camera = CameraToComplete(*request.out, pictures->width_px, pictures->height_px);
    if (!camera) return camera.error();
    camera->width_px = pictures->width_px;
    camera->height_px = pictures->height_px;
    camera->rotation_deg = pictures->rotation_deg;
    camera->lens = lens->AsEvidence();
    if (Status status = WritePhoneCamera(*request.out, *camera); !status) return status.error();
  }
  return MeasuredLens{std::move(*pictures), std::move(*lens)};
}

Json LensAsJson(const MeasuredLens& measured, const LensRequest& request) {
  PhoneCamera camera;
  camera.lens = measured.lens.AsEvidence();
  return {{"camera_file", request.out ? Json(*request.out) : Json(nullptr)},
          {"width_px", measured.pictures.width_px},
          {"height_px", measured.pictures.height_px},
          {"camera", PhoneCameraAsJson(camera)["camera"]},
          {"principal_offset_px",
           {{"x", measured.lens.principal_x_px.value},
            {"x_std", measured.lens.principal_x_px.std},
            {"y", measured.lens.principal_y_px.value},
            {"y_std", measured.lens.principal_y_px.std}}},
          {"misfit_px", measured.lens.misfit_px},
          {"pictures", measured.pictures.looked_at},
          {"boards", measured.lens.boards},
          {"left_out", measured.lens.left_out},
          {"without_board", measured.pictures.without}};
}

void Print(const MeasuredLens& measured, const LensRequest& request, Streams io) {
  const LensCalibration& lens = measured.lens;
  const auto row = [&](const char* what, const std::string& text) { io.out << fmt::format("{:<28}{}\n", what, text); };
  io.out << "± is one standard uncertainty\n";
  row("view angle", FormatMeasured(lens.horizontal_view_deg, "°"));
  row("k1", FormatMeasured(lens.k1, ""));
  row("k2", FormatMeasured(lens.k2, ""));
  row("p1", FormatMeasured(lens.p1, ""));
  row("p2", FormatMeasured(lens.p2, ""));
  row("corners fit to", FormatNumber(lens.misfit_px, 2) + " px");
  row("boards used", fmt::format("{}, of {} pictures", lens.boards, measured.pictures.looked_at));
  if (!lens.left_out.empty()) row("left out, do not fit", Listed(lens.left_out));
  if (request.out) row("written", *request.out);
}

}  // namespace

int RunCalibrateLens(std::span<const std::string> arguments, Streams io, const RunControl& control) {
  LensRequest request;
  CommandLine line("calibrate",
                   "Measures a phone's lens from pictures of a printed chessboard, or from a clip in which "
                   "the board is shown from many sides.",
                   "  loftline calibrate --lens board-*.jpg --board 9x6 --out phone.camera.json\n"
                   "  loftline calibrate --lens board.mp4 --out phone.camera.json\n"
                   "  loftline calibrate launch_07.mp4 --camera phone.camera.json ...");
  line.Several("--lens", &request.files, "Photographs (.jpg, .png) or clips of the board, all of one size");
  line.Optional("--board", &request.board, "Corners where four squares meet, across and down (default 9x6)");
  line.Optional("--out", &request.out, "The camera file to write (.camera.json); a readout that it holds is kept");
  if (const std::optional<int> over = line.Parse(arguments, io)) return *over;

  const Expected<MeasuredLens> measured = MeasureLens(request, io, control);
  if (!measured) return TellError(measured.error(), line.json(), io);
  if (line.json()) return PrintJson(LensAsJson(*measured, request), kExitMeasured, io);
  Print(*measured, request, io);
  return kExitMeasured;
}

}  // namespace loftline
