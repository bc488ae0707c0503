// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/sha256.h"

#include "tracker/clip_info.h"
#include "tracker/decode_handles.h"

#include <array>
#include <cerrno>
#include <cstring>
#include <fstream>
#include <new>
#include <vector>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace loftline {
namespace {

class Digest {
 public:
  Digest() : sha_(av_sha_alloc()) {
    if (!sha_ || av_sha_init(sha_.get(), 256) < 0) throw std::bad_alloc();
  }
  void Add(std::string_view bytes) {
    av_sha_update(sha_.get(), reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size());
  }
  std::string Finish() {
    std::array<std::uint8_t, 32> digest{};
    av_sha_final(sha_.get(), digest.data());
    return fmt::format("{:02x}", fmt::join(digest, ""));
  }

 private:
  ShaPtr sha_;
};

}  // namespace

std::string Sha256Of(std::string_view bytes) {
  Digest digest;
  digest.Add(bytes);
  return digest.Finish();
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
  Digest digest;
  std::vector<char> chunk(std::size_t{1} << 20);
  while (file) {
    file.read(chunk.data(), static_cast<std::streamsize>(chunk.size()));
    digest.Add({chunk.data(), static_cast<std::size_t>(file.gcount())});
  }
  if (file.bad()) return cannot_read();
  return digest.Finish();
}

}  // namespace loftline
