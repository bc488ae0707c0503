// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/decode_clip.h"
#include "tracker/frame_source.h"
#include "tracker/read_picture.h"

#include <algorithm>
#include <array>
#include <cerrno>
#include <charconv>
#include <cmath>
#include <cstring>
#include <fstream>
#include <mutex>
#include <optional>
#include <string_view>
#include <utility>

#include <fmt/format.h>

extern "C" {
#include <libavutil/display.h>
}

namespace loftline {
namespace {

// The containers that cameras write. A playlist, say, is no clip, and must not make us fetch what it names.
constexpr const char* kContainers = "mov,matroska,avi,mpegts,mpeg";

Error ClipError(const std::filesystem::path& path, std::string code, std::string message, std::string advice) {
  return {ErrorKind::kInvalidInput, std::move(code), std::move(message), std::move(advice), path.string()};
}

Error NotAVideo(const std::filesystem::path& path, const std::string& message) {
  return ClipError(
      path, "not-a-video", message, "Give the video file as the camera wrote it, such as an .mp4 or .mov.");
}

// What can be told without libav, in plainer words than it has.
Status CheckFile(const std::filesystem::path& path) {
  const auto cannot_read = [&](const std::string& why) {
    return ClipError(
        path, "cannot-read", "The clip cannot be read: " + why + ".", "Check its name and that you may read it.");
  };
  std::error_code problem;
  const std::filesystem::file_status status = std::filesystem::status(path, problem);
  if (status.type() == std::filesystem::file_type::not_found) return cannot_read("there is no such file");
  if (problem) return cannot_read(problem.message());
  if (status.type() == std::filesystem::file_type::directory) return cannot_read("it is a folder");
  if (status.type() != std::filesystem::file_type::regular) return cannot_read("it is no ordinary file");
  errno = 0;
  std::ifstream file(path, std::ios::binary);
  if (!file) return cannot_read(std::strerror(errno));
  if (file.peek() == std::ifstream::traits_type::eof()) {
    return ClipError(path, "empty-file", "The clip is an empty file.", "Copy it from the phone again.");
  }
  return Done{};
}

// libav's name for a photograph's format by the file's first bytes; null for another kind. It goes by names' endings
// else.
const char* PictureFormat(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::array<char, 8> head{};
  file.read(head.data(), head.size());
  const std::string_view bytes(head.data(), static_cast<std::size_t>(file.gcount()));
  if (bytes.starts_with("\xFF\xD8\xFF")) return "jpeg_pipe";   // ITU-T T.81
  return bytes == "\x89PNG\r\n\x1A\n" ? "png_pipe" : nullptr;  // ISO/IEC 15948
}

// Whether the file begins as one of the known containers does; then what fails later is damage, not a wrong file.
bool LooksLikeAClip(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::array<char, 12> head{};
  file.read(head.data(), head.size());
  const std::string_view bytes(head.data(), static_cast<std::size_t>(file.gcount()));
  constexpr std::array<std::string_view, 4> kFirstBoxes = {
      "ftyp", "moov", "mdat", "wide"};  // ISO/IEC 14496-12 and QuickTime
  const bool iso = bytes.size() >= 8 && std::count(kFirstBoxes.begin(), kFirstBoxes.end(), bytes.substr(4, 4)) > 0;
  const bool ebml = bytes.starts_with("\x1A\x45\xDF\xA3");  // RFC 8794
  const bool riff = bytes.size() >= 12 && bytes.starts_with("RIFF") && bytes.substr(8, 4) == "AVI ";
  return iso || ebml || riff;
}

Expected<FormatPtr> OpenContainer(const std::filesystem::path& path, const char* picture_format) {
  AVDictionary* options = nullptr;
  av_dict_set(&options, "format_whitelist", picture_format != nullptr ? picture_format : kContainers, 0);
  av_dict_set(&options, "protocol_whitelist", "file", 0);
  const AVInputFormat* known = picture_format != nullptr ? av_find_input_format(picture_format) : nullptr;
  AVFormatContext* opened = nullptr;
  const int result = avformat_open_input(&opened, ("file:" + path.string()).c_str(), known, &options);
  av_dict_free(&options);
  FormatPtr format(opened);
  const int found = result < 0 ? result : avformat_find_stream_info(format.get(), nullptr);
  if (found >= 0) return format;
  if (!LooksLikeAClip(path)) return NotAVideo(path, fmt::format("This is no video file ({}).", LibavMessage(found)));
  return ClipError(path,
                   "damaged-clip",
                   fmt::format("The clip is damaged or cut short, no frame can be read ({}).", LibavMessage(found)),
                   "Copy it from the phone again; a recording that was broken off has no index and cannot be used.");
}

// FFmpeg 5.1's look-up; newer releases keep it in codecpar->coded_side_data.
std::optional<std::array<std::int32_t, 9>> DisplayMatrix(const AVStream& stream) {
  std::array<std::int32_t, 9> matrix{};
  std::size_t size = 0;
  const std::uint8_t* bytes = av_stream_get_side_data(&stream, AV_PKT_DATA_DISPLAYMATRIX, &size);
  if (bytes == nullptr || size < sizeof(matrix)) return std::nullopt;
  std::memcpy(matrix.data(), bytes, sizeof(matrix));
  return matrix;
}

// Phones that store slow motion at an ordinary rate leave the true one in this tag.
std::optional<double> CaptureRate(const AVFormatContext& format, const AVStream& stream) {
  constexpr const char* kKey = "com.android.capture.fps";
  for (const AVDictionary* metadata : {stream.metadata, format.metadata}) {
    const AVDictionaryEntry* entry = av_dict_get(metadata, kKey, nullptr, 0);
    if (entry == nullptr) continue;
    const std::string_view text(entry->value);
    double rate_hz = 0.0;
    const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), rate_hz);
    if (problem == std::errc() && std::isfinite(rate_hz) && rate_hz > 0.0) return rate_hz;
  }
  return std::nullopt;
}

ClipInfo InfoOf(const std::filesystem::path& path, const AVFormatContext& format, const AVStream& stream, Turn turn) {
  const cv::Size upright = TurnedSize({stream.codecpar->width, stream.codecpar->height}, turn);
  ClipInfo info;
  info.file = path;
  info.width_px = upright.width;
  info.height_px = upright.height;
  info.rotation_deg = turn.clockwise_deg;
  const AVRational rate = stream.avg_frame_rate.num > 0 ? stream.avg_frame_rate : stream.r_frame_rate;
  if (rate.num > 0 && rate.den > 0) info.stored_rate_hz = av_q2d(rate);
  info.capture_rate_hz = CaptureRate(format, stream);
  if (stream.duration != AV_NOPTS_VALUE) {
    info.duration_s = static_cast<double>(stream.duration) * av_q2d(stream.time_base);
  } else if (format.duration != AV_NOPTS_VALUE) {
    info.duration_s = static_cast<double>(format.duration) / AV_TIME_BASE;
  }
  info.frames = stream.nb_frames;
  return info;
}

Expected<CodecPtr> OpenDecoder(const std::filesystem::path& path, const AVStream& stream, int threads) {
  const AVCodec* decoder = avcodec_find_decoder(stream.codecpar->codec_id);
  if (decoder == nullptr) {
    return ClipError(path,
                     "unsupported-clip",
                     fmt::format("There is no decoder for '{}'.", avcodec_get_name(stream.codecpar->codec_id)),
                     "Film in H.264 or H.265, which every phone can.");
  }
  CodecPtr codec(avcodec_alloc_context3(decoder));
  if (!codec) throw std::bad_alloc();
  int result = avcodec_parameters_to_context(codec.get(), stream.codecpar);
  codec->pkt_timebase = stream.time_base;
  codec->thread_count = std::max(threads, 1);
  codec->thread_type = FF_THREAD_FRAME | FF_THREAD_SLICE;
  // FFmpeg's H.264 decoder marks the pictures that it had to mend; its HEVC decoder hands them out as if they were
  // sound unless it is told to stop at what is wrong.
  if (stream.codecpar->codec_id == AV_CODEC_ID_HEVC) codec->err_recognition |= AV_EF_EXPLODE;
  if (result >= 0) result = avcodec_open2(codec.get(), decoder, nullptr);
  if (result >= 0) return codec;
  return ClipError(path,
                   "damaged-clip",
                   fmt::format("The decoder does not start ({}).", LibavMessage(result)),
                   "Copy the clip from the phone again.");
}

Expected<Turn> UprightTurn(const std::filesystem::path& path, const AVStream& stream) {
  const AVRational pixel =
      stream.sample_aspect_ratio.num > 0 ? stream.sample_aspect_ratio : stream.codecpar->sample_aspect_ratio;
  if (pixel.num > 0 && pixel.num != pixel.den) {
    return ClipError(path,
                     "unsupported-clip",
                     fmt::format("The clip's pixels are not square ({}:{}).", pixel.num, pixel.den),
                     "Use the clip as the phone wrote it, not a converted one.");
  }
  const std::optional<std::array<std::int32_t, 9>> matrix = DisplayMatrix(stream);
  if (!matrix) return Turn{};
  const std::optional<Turn> turn = TurnFromDisplayMatrix(*matrix);
  if (turn) return *turn;
  return ClipError(path,
                   "unsupported-clip",
                   "The clip is turned by something else than a right angle.",
                   "Use the clip as the phone wrote it, not an edited one.");
}

void SilenceLibav() {
  static std::once_flag once;
  std::call_once(once, [] { av_log_set_level(AV_LOG_QUIET); });
}

Expected<OpenedClip> Open(const std::filesystem::path& path, const char* picture_format, int threads) {
  SilenceLibav();
  Expected<FormatPtr> format = OpenContainer(path, picture_format);
  if (!format) return format.error();
  OpenedClip clip;
  clip.format = std::move(*format);
  const int index = av_find_best_stream(clip.format.get(), AVMEDIA_TYPE_VIDEO, -1, -1, nullptr, 0);
  if (index < 0) return NotAVideo(path, "The file holds no pictures, only sound or other data.");
  clip.stream = clip.format->streams[index];
  if ((clip.stream->disposition & AV_DISPOSITION_ATTACHED_PIC) != 0) {
    return NotAVideo(path, "The file holds sound with a cover picture, no video.");
  }
  for (unsigned i = 0; i < clip.format->nb_streams; ++i) {
    if (static_cast<int>(i) != index) clip.format->streams[i]->discard = AVDISCARD_ALL;  // do not even read the sound
  }
  Expected<Turn> turn = UprightTurn(path, *clip.stream);
  if (!turn) return turn.error();
  clip.turn = *turn;
  Expected<CodecPtr> codec = OpenDecoder(path, *clip.stream, threads);
  if (!codec) return codec.error();
  clip.codec = std::move(*codec);
  clip.info = InfoOf(path, *clip.format, *clip.stream, clip.turn);
  if (clip.info.width_px <= 0 || clip.info.height_px <= 0) return NotAVideo(path, "The pictures have no size.");
  return clip;
}

}  // namespace

Expected<OpenedClip> OpenForDecoding(const std::filesystem::path& path, int threads) {
  if (Status status = CheckFile(path); !status) return status.error();
  return Open(path, nullptr, threads);
}

Expected<std::unique_ptr<FrameSource>> OpenClip(const std::filesystem::path& path, const DecodeOptions& options) {
  Expected<OpenedClip> clip = OpenForDecoding(path, options.threads);
  if (!clip) return clip.error();
  return std::unique_ptr<FrameSource>(std::make_unique<ClipDecoder>(std::move(*clip)));
}

Expected<std::optional<cv::Mat>> ReadPicture(const std::filesystem::path& path) {
  if (Status status = CheckFile(path); !status) return status.error();
  const char* format = PictureFormat(path);
  if (format == nullptr) return std::optional<cv::Mat>();
  Expected<OpenedClip> opened = Open(path, format, 1);
  if (opened) {
    ClipDecoder source(std::move(*opened));
    const Expected<std::optional<Frame>> frame = source.Read();
    if (frame && *frame) return std::optional<cv::Mat>((*frame)->luma.clone());
  }
  return ClipError(path, "damaged-picture", "The picture is damaged or cut short.", "Copy it from the phone again.");
}

}  // namespace loftline
