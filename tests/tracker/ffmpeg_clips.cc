// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/tracker/ffmpeg_clips.h"

#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <sstream>
#include <stdexcept>

namespace loftline::test {
namespace {

std::string Quoted(const std::filesystem::path& path) {
  return "'" + path.string() + "'";
}

}  // namespace

ScratchFolder::ScratchFolder() {
  std::string name = (std::filesystem::temp_directory_path() / "loftline-test-XXXXXX").string();
  if (mkdtemp(name.data()) == nullptr) throw std::runtime_error("no scratch folder");
  path_ = name;
}

ScratchFolder::~ScratchFolder() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

std::string RunCommand(const std::string& command) {
  std::FILE* pipe = popen(command.c_str(), "r");
  if (pipe == nullptr) throw std::runtime_error("cannot run " + command);
  std::string output;
  std::string chunk(1 << 16, '\0');
  std::size_t got = 0;
  while ((got = std::fread(chunk.data(), 1, chunk.size(), pipe)) > 0) output.append(chunk, 0, got);
  if (pclose(pipe) != 0) throw std::runtime_error("failed: " + command);
  return output;
}

void MakeClip(const std::filesystem::path& path, const std::string& source, const std::string& arguments) {
  RunCommand("ffmpeg -nostdin -y -loglevel error -f lavfi -i '" + source + "' " + arguments + " " + Quoted(path));
}

ProbedTimes ProbeTimes(const std::filesystem::path& path) {
  const std::string probe = "ffprobe -loglevel error -select_streams v:0 -of default=noprint_wrappers=1:nokey=1 ";
  ProbedTimes times;
  char slash = 0;
  std::istringstream(RunCommand(probe + "-show_entries stream=time_base " + Quoted(path))) >> times.time_base_num >>
      slash >> times.time_base_den;
  std::istringstream frames(RunCommand(probe + "-show_entries frame=best_effort_timestamp " + Quoted(path)));
  for (std::int64_t ticks = 0; frames >> ticks;) times.ticks.push_back(ticks);
  return times;
}

std::vector<std::uint8_t> GreyPictures(const std::filesystem::path& path) {
  const std::string bytes = RunCommand("ffmpeg -nostdin -loglevel error -i " + Quoted(path) +
                                       " -vsync passthrough -f rawvideo -pix_fmt gray -");
  return {bytes.begin(), bytes.end()};
}

std::string ReadBytes(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

void WriteBytes(const std::filesystem::path& path, const std::string& bytes) {
  std::ofstream(path, std::ios::binary).write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
}

void PatchDisplayMatrix(const std::filesystem::path& path, const std::vector<std::int32_t>& matrix) {
  std::string bytes = ReadBytes(path);
  const std::size_t box = bytes.find("tkhd");
  if (box == std::string::npos) throw std::runtime_error("no track header");
  std::size_t at =
      box + 44;  // type 4, version and flags 4, times, number and duration 20, reserved 8, layer to volume 8
  for (const std::int32_t entry : matrix) {
    for (int shift = 24; shift >= 0; shift -= 8) bytes[at++] = static_cast<char>((entry >> shift) & 0xFF);
  }
  WriteBytes(path, bytes);
}

}  // namespace loftline::test
