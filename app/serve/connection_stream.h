// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/serve/connection_limits.h"

#include <array>
#include <atomic>
#include <chrono>
#include <cstddef>
#include <httplib.h>
#include <string>

namespace loftline {

// One client's connection, plain or through TLS, held to its limits: whatever takes too long or too much fails, and the
// stream says why. One object a connection, used on one thread.
class ConnectionStream : public httplib::Stream {
 public:
  enum class Trouble { kNone, kHeaderTooLarge, kTooSlow };

  // TLS: null for a plain one; owned by the caller. STOPPING ends waiting between requests, and WAITING, where others
  // wait for this thread, cuts it short.
  ConnectionStream(int socket,
                   SSL* tls,
                   const ConnectionLimits& limits,
                   const std::atomic<bool>& stopping,
                   const std::atomic<int>& waiting);

  // Waits for a request's first byte. False: none came in time, or the client is gone, or we stop.
  bool WaitForRequest();
  void HeaderIsRead();  // the body comes next
  void AnswerBegins();
  Trouble trouble() const { return trouble_; }
  // Answers without httplib, which then is not told of the request at all.
  void WriteRaw(const std::string& bytes);
  // Reads on for a while, so that a client that is still sending can read the answer before the connection ends.
  void Linger();

  bool is_readable() const override;
  bool is_writable() const override;
  ssize_t read(char* to, std::size_t size) override;
  ssize_t write(const char* from, std::size_t size) override;
  void get_remote_ip_and_port(std::string& ip, int& port) const override;
  void get_local_ip_and_port(std::string& ip, int& port) const override;
  socket_t socket() const override { return socket_; }

 private:
  using Clock = std::chrono::steady_clock;
  enum class Phase { kHeader, kBody, kAnswer };

  bool Fill();  // reads into the buffer
  ssize_t ReadSome(char* to, std::size_t size);
  bool WaitFor(short events, Clock::time_point until) const;
  Clock::time_point Deadline() const;  // of the next byte
  void Begin(Phase phase);
  bool TooSlow();  // the phase as a whole

  int socket_;
  SSL* tls_;
  const ConnectionLimits& limits_;
  const std::atomic<bool>& stopping_;
  const std::atomic<int>& waiting_;
  Phase phase_ = Phase::kHeader;
  Clock::time_point phase_began_;
  std::size_t phase_bytes_ = 0;
  Trouble trouble_ = Trouble::kNone;
  std::array<char, 16384> buffer_{};
  std::size_t at_ = 0, filled_ = 0;
};

}  // namespace loftline
