// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/clip_info.h"

#include "tracker/decode_handles.h"

#include <array>
#include <cerrno>
#include <cstring>
#include <fstream>
#include <new>
#include <vector>

#include <fmt/format.h>

namespace loftline {

double RealSecondsPerStored(double stored_rate_hz, std::optional<double> given_hz, std::optional<double> tagged_hz) {
  constexpr double kTagMeansSlowMotion = 1.5;
  if (!(stored_rate_hz > 0.0)) return 1.0;
  if (given_hz) return stored_rate_hz / *given_hz;
  if (tagged_hz && *tagged_hz > kTagMeansSlowMotion * stored_rate_hz) return stored_rate_hz / *tagged_hz;
  return 1.0;
}

Expected<std::string> Sha256OfFile(const std::filesystem::path& path) {
  const auto cannot_read = [&] {
    return Error{ErrorKind::kInvalidInput,
                 "cannot-read",
                 fmt::format("The file cannot be read: {}.", std::strerror(errno)),
                 "Check its name and that you may read it.",
                 path.string()};
  };
  errno = 0;
  std::ifstream file(path, std::ios::binary);
  if (!file) return cannot_read();
  const ShaPtr sha(av_sha_alloc());
  if (!sha || av_sha_init(sha.get(), 256) < 0) throw std::bad_alloc();
  std::vector<char> chunk(std::size_t{1} << 20);
  while (file) {
    file.read(chunk.data(), static_cast<std::streamsize>(chunk.size()));
    av_sha_update(
        sha.get(), reinterpret_cast<const std::uint8_t*>(chunk.data()), static_cast<std::size_t>(file.gcount()));
  }
  if (file.bad()) return cannot_read();
  std::array<std::uint8_t, 32> digest{};
  av_sha_final(sha.get(), digest.data());
  return fmt::format("{:02x}", fmt::join(digest, ""));
}

}  // namespace loftline
