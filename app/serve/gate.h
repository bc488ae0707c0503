// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/serve/router.h"

#include <chrono>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace loftline {

// What the gate looks at. Empty: the request has no such header.
struct GateRequest {
  std::string method, path;
  std::string token;  // of the address
  std::string host, origin, cookie, fetch_site;
};

struct GateOptions {
  int port = 0;
  bool tls = false;
  std::vector<std::string> hosts;       // names and addresses that the page may be asked for by, without the port
  std::optional<std::string> password;  // asked for instead of the address's token
};

// 32 random bytes in hexadecimal, from the system. Throws where it has none.
std::string RandomToken();
// Compares without telling by its time where the two differ.
bool SameSecret(std::string_view one, std::string_view other);

// Who may come in: only who has opened the printed address (or given the password), from a page of our own, asking for
// a name of ours. Thread-safe.
class Gate {
 public:
  Gate(GateOptions options, std::string token);

  // Nothing: let it through. Else what to answer instead.
  std::optional<WebResponse> Check(const GateRequest& request) const;
  // What a password gets: the cookie and the way to the page, or a refusal. Wrong ones make everybody wait.
  WebResponse Enter(std::string_view form);
  std::string Address(const std::string& host) const;  // with the token, where that is what lets in

 private:
  bool HasCookie(std::string_view cookies) const;
  WebResponse ToThePage() const;
  bool IsOurHost(std::string_view host) const;
  bool IsOurOrigin(std::string_view origin) const;
  std::string CookieName() const;

  GateOptions options_;
  std::string token_;    // of the address; once used it still opens, for a second browser
  std::string session_;  // of the cookie
  std::mutex mutex_;
  int wrong_ = 0;
  std::chrono::steady_clock::time_point closed_until_;
};

}  // namespace loftline
