// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/serve/connection_stream.h"
#include "app/serve/gate.h"
#include "app/serve/router.h"
#include "app/serve/tls.h"
#include "core/expected.h"

#include <atomic>
#include <optional>
#include <string>

#include <httplib.h>

namespace loftline {

// The HTTP server: httplib's, behind the gate, with every connection held to its limits and every answer under the
// page's content policy.
class GuardedServer : public httplib::Server {
 public:
  GuardedServer(const Router& router, const ConnectionLimits& limits);

  // Takes a port (0: any free one) of ADDRESS and gives its number. Errors: "port-taken".
  Expected<int> Bind(const std::string& address, int port);
  // Answers requests until Stop(). Bind first.
  void Serve(Gate* gate, const Tls* tls);
  void Stop();  // from any thread; also before Serve()

 private:
  bool process_and_close_socket(socket_t socket) override;
  void AnswerRequests(ConnectionStream& stream);
  HandlerResponse BeforeRouting(const httplib::Request& request, httplib::Response& response);
  void AnswerStreamed(const httplib::Request& request,
                      httplib::Response& response,
                      const httplib::ContentReader& reader) const;

  const Router& router_;
  const ConnectionLimits limits_;
  Gate* gate_ = nullptr;
  const Tls* tls_ = nullptr;
  std::atomic<bool> stopping_ = false;
  std::atomic<int> waiting_ = 0;  // connections that no thread has taken yet
};

}  // namespace loftline
