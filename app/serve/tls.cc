// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/tls.h"

#include <array>
#include <openssl/evp.h>
#include <openssl/rand.h>
#include <openssl/x509.h>

#include <fmt/format.h>

namespace loftline {
namespace {

using Certificate = std::unique_ptr<X509, FreeOpenssl>;
using Key = std::unique_ptr<EVP_PKEY, FreeOpenssl>;

TlsContext NewContext() {
  TlsContext context(SSL_CTX_new(TLS_server_method()));
  if (context) {
    SSL_CTX_set_min_proto_version(context.get(), TLS1_2_VERSION);
    SSL_CTX_set_mode(context.get(), SSL_MODE_ENABLE_PARTIAL_WRITE | SSL_MODE_ACCEPT_MOVING_WRITE_BUFFER);
  }
  return context;
}

std::string FingerprintOf(const X509* certificate) {
  std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
  unsigned int size = 0;
  if (certificate == nullptr || X509_digest(certificate, EVP_sha256(), digest.data(), &size) != 1) return "";
  std::string text;
  for (unsigned int i = 0; i < size; ++i) text += fmt::format("{}{:02X}", i == 0 ? "" : ":", digest[i]);
  return text;
}

Error BadCertificate(const std::filesystem::path& file, const std::string& why) {
  return {ErrorKind::kInvalidInput,
          "bad-certificate",
          why,
          "Give a certificate and its private key as PEM files, or leave both out.",
          file.string()};
}

// Good for two weeks from yesterday: clocks differ, and the program does not run for longer.
Certificate MadeCertificate(EVP_PKEY* key) {
  Certificate certificate(X509_new());
  std::array<unsigned char, 8> serial{};
  if (!certificate || RAND_bytes(serial.data(), static_cast<int>(serial.size())) != 1) return nullptr;
  std::int64_t number = 0;
  for (const unsigned char byte : serial) number = (number << 7) ^ byte;
  constexpr long kDay_s = 86400;
  X509_set_version(certificate.get(), X509_VERSION_3);
  ASN1_INTEGER_set_int64(X509_get_serialNumber(certificate.get()), number & 0x7fffffffffffffff);
  X509_gmtime_adj(X509_getm_notBefore(certificate.get()), -kDay_s);
  X509_gmtime_adj(X509_getm_notAfter(certificate.get()), 13 * kDay_s);
  X509_NAME* name = X509_get_subject_name(certificate.get());
  const std::string common_name = "Loftline on this machine";
  X509_NAME_add_entry_by_txt(
      name, "CN", MBSTRING_UTF8, reinterpret_cast<const unsigned char*>(common_name.c_str()), -1, -1, 0);
  X509_set_issuer_name(certificate.get(), name);
  if (X509_set_pubkey(certificate.get(), key) != 1) return nullptr;
  return X509_sign(certificate.get(), key, EVP_sha256()) > 0 ? std::move(certificate) : nullptr;
}

}  // namespace

Expected<Tls> TlsFromFiles(const std::filesystem::path& certificate, const std::filesystem::path& key) {
  Tls tls{NewContext(), "", false};
  if (!tls.context || SSL_CTX_use_certificate_chain_file(tls.context.get(), certificate.c_str()) != 1) {
    return BadCertificate(certificate, "This cannot be read as a certificate.");
  }
  if (SSL_CTX_use_PrivateKey_file(tls.context.get(), key.c_str(), SSL_FILETYPE_PEM) != 1) {
    return BadCertificate(key, "This cannot be read as the certificate's private key.");
  }
  if (SSL_CTX_check_private_key(tls.context.get()) != 1) {
    return BadCertificate(key, "The private key is not that of the certificate.");
  }
  tls.fingerprint = FingerprintOf(SSL_CTX_get0_certificate(tls.context.get()));
  return tls;
}

Expected<Tls> SelfMadeTls() {
  const Key key(EVP_EC_gen("P-256"));
  const Certificate certificate = key ? MadeCertificate(key.get()) : nullptr;
  Tls tls{NewContext(), FingerprintOf(certificate.get()), true};
  if (!certificate || !tls.context || SSL_CTX_use_certificate(tls.context.get(), certificate.get()) != 1 ||
      SSL_CTX_use_PrivateKey(tls.context.get(), key.get()) != 1) {
    return Error{ErrorKind::kInternal, "internal", "No certificate could be made.", "Give one with --certificate."};
  }
  return tls;
}

}  // namespace loftline
