// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/serve/connection_limits.h"
#include "app/serve/gate.h"
#include "app/serve/router.h"
#include "app/serve/tls.h"
#include "core/expected.h"

#include <memory>
#include <string>

namespace loftline {

// The HTTP server: httplib's, behind the gate, with every connection held to its limits and every answer under the
// page's content policy. (httplib stays out of headers: what it includes does not go with Eigen.)
class GuardedServer {
 public:
  GuardedServer(const Router& router, const ConnectionLimits& limits);
  ~GuardedServer();
  GuardedServer(const GuardedServer&) = delete;
  GuardedServer& operator=(const GuardedServer&) = delete;

  // Takes a port (0: any free one) of ADDRESS and gives its number. Errors: "port-taken".
  Expected<int> Bind(const std::string& address, int port);
  // Answers requests until Stop(). Bind first.
  void Serve(Gate* gate, const Tls* tls);
  void Stop();  // from any thread; also before Serve()

 private:
  class Http;
  std::unique_ptr<Http> http_;
};

}  // namespace loftline
