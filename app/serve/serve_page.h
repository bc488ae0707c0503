// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/serve/connection_limits.h"
#include "core/expected.h"

#include <cstdint>
#include <filesystem>
#include <functional>
#include <optional>
#include <stop_token>
#include <string>

namespace loftline {

struct ServeOptions {
  std::filesystem::path folder = ".";
  int port = 0;  // 0: any free one
  bool lan = false;
  std::optional<std::string> password;                            // with LAN
  std::optional<std::filesystem::path> certificate, private_key;  // PEM; without them one is made
  std::uint64_t most_upload_bytes = std::uint64_t{1} << 30U;
  std::size_t frame_memory_bytes = std::size_t{256} << 20U;
  ConnectionLimits connections;
};

// Where the page is to be found, told once it answers.
struct ServeAddress {
  std::string address;      // to open on this machine; with the token where that is what lets in
  std::string lan_address;  // for other machines; empty without LAN
  std::string fingerprint;  // of the certificate; empty without TLS
  bool self_made_certificate = false;
  int port = 0;
  std::filesystem::path folder;
};

// Serves the page until STOP is asked for: on this machine alone (127.0.0.1), or with LAN on all its networks, by TLS
// and with a password. Jobs that run then are cancelled and leave nothing half-written. Errors: "cannot-read",
// "cannot-write", "port-taken", "bad-certificate", "bad-value" (LAN without a password).
Status ServePage(const ServeOptions& options,
                 const std::function<void(const ServeAddress&)>& on_ready,
                 const std::stop_token& stop);

}  // namespace loftline
