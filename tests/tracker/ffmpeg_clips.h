// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace loftline::test {

// A folder of its own for one test, gone afterwards.
class ScratchFolder {
 public:
  ScratchFolder();
  ~ScratchFolder();
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;
  std::filesystem::path operator/(const std::string& name) const { return path_ / name; }

 private:
  std::filesystem::path path_;
};

// Runs a shell command and gives what it wrote to its standard output; throws std::runtime_error if it fails.
std::string RunCommand(const std::string& command);

// Writes a clip of ffmpeg's moving test picture. ARGUMENTS stand between the input and the output file.
void MakeClip(const std::filesystem::path& path, const std::string& source, const std::string& arguments);

// What ffprobe says of the frames, in order of presentation.
struct ProbedTimes {
  std::int64_t time_base_num = 0, time_base_den = 0;
  std::vector<std::int64_t> ticks;
};
ProbedTimes ProbeTimes(const std::filesystem::path& path);

// All pictures of a clip as the ffmpeg program turns and converts them: 8-bit grey, full range, one after another.
std::vector<std::uint8_t> GreyPictures(const std::filesystem::path& path);

std::string ReadBytes(const std::filesystem::path& path);
void WriteBytes(const std::filesystem::path& path, const std::string& bytes);

// Overwrites the display matrix (a b u, c d v, x y w; ISO/IEC 14496-12, 8.3.2) of an mp4 file that has one track.
void PatchDisplayMatrix(const std::filesystem::path& path, const std::vector<std::int32_t>& matrix);

}  // namespace loftline::test
