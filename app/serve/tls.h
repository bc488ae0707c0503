// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"

#include <filesystem>
#include <memory>
#include <openssl/ssl.h>
#include <optional>
#include <string>

namespace loftline {

struct FreeOpenssl {
  void operator()(SSL_CTX* context) const { SSL_CTX_free(context); }
  void operator()(SSL* connection) const { SSL_free(connection); }
  void operator()(X509* certificate) const { X509_free(certificate); }
  void operator()(EVP_PKEY* key) const { EVP_PKEY_free(key); }
};
using TlsContext = std::unique_ptr<SSL_CTX, FreeOpenssl>;
using TlsConnection = std::unique_ptr<SSL, FreeOpenssl>;

struct Tls {
  TlsContext context;
  std::string fingerprint;  // SHA-256 of the certificate, "AB:CD:..."
  bool self_made = false;
};

// TLS 1.2 and later with a certificate and its key from PEM files. Errors: "bad-certificate".
Expected<Tls> TlsFromFiles(const std::filesystem::path& certificate, const std::filesystem::path& key);
// With a certificate made now, for as long as the program runs: browsers warn of it, and its fingerprint is what tells
// it from a stranger's. Errors: "internal".
Expected<Tls> SelfMadeTls();

}  // namespace loftline
