// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/gate.h"

#include <algorithm>
#include <array>
#include <openssl/crypto.h>
#include <openssl/rand.h>
#include <stdexcept>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::string_view kEnterPath = "/enter";
constexpr int kFreeTries = 5;

// Plain pages, without the looks of the real one: nothing is served to who is not in.
WebResponse PlainPage(int status, const std::string& body) {
  WebResponse response;
  response.status = status;
  response.content_type = "text/html; charset=utf-8";
  response.body = R"(<!doctype html><html lang="en"><meta charset="utf-8"><title>Loftline</title>)"
                  R"(<meta name="viewport" content="width=device-width"><main><h1>Loftline</h1>)" +
                  body + "</main></html>\n";
  return response;
}

WebResponse PasswordPage(int status, const std::string& said) {
  return PlainPage(
      status,
      (said.empty() ? "" : "<p role=\"alert\">" + said + "</p>") +
          R"(<form method="post" action="/enter"><p><label>Password <input name="password" type="password" )"
          R"(autocomplete="current-password" autofocus></label> <button>Enter</button></p></form>)");
}

WebResponse Refusal(const GateRequest& request, const std::string& code, const std::string& message) {
  const std::string advice = "Open the address that 'loftline serve' printed in its terminal.";
  if (request.method == "GET" && request.path == "/") {
    return PlainPage(403, "<p>" + message + " " + advice + "</p>");
  }
  return ErrorResponse({ErrorKind::kInvalidInput, code, message, advice}, 403);
}

}  // namespace

std::string RandomToken() {
  std::array<unsigned char, 32> bytes{};
  if (RAND_bytes(bytes.data(), static_cast<int>(bytes.size())) != 1) {
    throw std::runtime_error("the system gives no random numbers");
  }
  std::string token;
  for (const unsigned char byte : bytes) token += fmt::format("{:02x}", byte);
  return token;
}

bool SameSecret(std::string_view one, std::string_view other) {
  return one.size() == other.size() && CRYPTO_memcmp(one.data(), other.data(), one.size()) == 0;
}

Gate::Gate(GateOptions options, std::string token)
    : options_(std::move(options)), token_(std::move(token)), session_(RandomToken()) {}

std::string Gate::CookieName() const {
  return fmt::format("loftline-{}", options_.port);  // cookies do not tell ports apart
}

std::string Gate::Address(const std::string& host) const {
  const std::string address = fmt::format("{}://{}:{}/", options_.tls ? "https" : "http", host, options_.port);
  return options_.password ? address : address + "?token=" + token_;
}

bool Gate::HasCookie(std::string_view cookies) const {
  const std::string wanted = CookieName() + "=";
  std::size_t start = 0;
  while (start < cookies.size()) {
    const std::size_t end = std::min(cookies.find(';', start), cookies.size());
    std::string_view one = cookies.substr(start, end - start);
    while (one.starts_with(' ')) one.remove_prefix(1);
    if (one.starts_with(wanted) && SameSecret(one.substr(wanted.size()), session_)) return true;
    start = end + 1;
  }
  return false;
}

bool Gate::IsOurHost(std::string_view host) const {
  return std::any_of(options_.hosts.begin(), options_.hosts.end(), [&](const std::string& name) {
    return host == fmt::format("{}:{}", name, options_.port);
  });
}

bool Gate::IsOurOrigin(std::string_view origin) const {
  const std::string_view scheme = options_.tls ? "https://" : "http://";
  return origin.starts_with(scheme) && IsOurHost(origin.substr(scheme.size()));
}

WebResponse Gate::ToThePage() const {
  WebResponse response;
  response.status = 303;
  response.content_type = "text/plain";
  response.headers = {
      {"Location", "/"},
      {"Set-Cookie",
       fmt::format(
           "{}={}; Path=/; HttpOnly; SameSite=Strict{}", CookieName(), session_, options_.tls ? "; Secure" : "")}};
  return response;
}

std::optional<WebResponse> Gate::Check(const GateRequest& request) const {
  if (!IsOurHost(request.host)) {
    return Refusal(request, "foreign-host", "This page is not known by the name that it was asked for by.");
  }
  const bool reads = request.method == "GET" || request.method == "HEAD";
  if (!reads && !IsOurOrigin(request.origin)) {
    return Refusal(request, "foreign-origin", "Only Loftline's own page may change something here.");
  }
  // Browsers say where a request comes from; a foreign page may neither read nor frame anything here.
  const bool foreign = request.fetch_site == "cross-site" || request.fetch_site == "same-site";
  if (foreign && request.path != "/") {
    return Refusal(request, "foreign-origin", "Another page asked for this.");
  }
  if (request.path == "/" && reads && !options_.password && SameSecret(request.token, token_)) return ToThePage();
  if (HasCookie(request.cookie)) return std::nullopt;
  if (options_.password) {
    if (request.path == kEnterPath && request.method == "POST") return std::nullopt;
    if (request.path == "/" && reads) return PasswordPage(200, "");
  }
  return Refusal(request, "not-let-in", "This browser has not been let in.");
}

WebResponse Gate::Enter(std::string_view form) {
  constexpr std::string_view kField = "password=";
  if (!options_.password) return PlainPage(404, "<p>There is no password.</p>");
  {
    const std::scoped_lock lock(mutex_);
    if (std::chrono::steady_clock::now() < closed_until_) {
      return PasswordPage(429, "Too many wrong passwords. Wait a little and try again.");
    }
  }
  std::string spaced(form.starts_with(kField) ? form.substr(kField.size()) : "");
  std::replace(spaced.begin(), spaced.end(), '+', ' ');
  const std::optional<std::string> given = PercentDecoded(spaced);
  const std::scoped_lock lock(mutex_);
  if (given && SameSecret(*given, *options_.password)) {
    wrong_ = 0;
    return ToThePage();
  }
  if (++wrong_ >= kFreeTries) {
    const int doublings = std::min(wrong_ - kFreeTries, 6);
    closed_until_ = std::chrono::steady_clock::now() + std::chrono::seconds(1 << doublings);
  }
  return PasswordPage(403, "That is not the password.");
}

}  // namespace loftline
