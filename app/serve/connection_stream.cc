// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/connection_stream.h"

#include <algorithm>
#include <arpa/inet.h>
#include <cerrno>
#include <cstring>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>

namespace loftline {
namespace {

// "127.0.0.1" and the port, by getsockname or getpeername.
template <typename Ask>
void AddressOf(int socket, Ask ask, std::string& ip, int& port) {
  sockaddr_in address{};
  socklen_t size = sizeof(address);
  if (ask(socket, reinterpret_cast<sockaddr*>(&address), &size) != 0 || address.sin_family != AF_INET) return;
  std::array<char, INET_ADDRSTRLEN> text{};
  if (inet_ntop(AF_INET, &address.sin_addr, text.data(), text.size()) == nullptr) return;
  ip = text.data();
  port = ntohs(address.sin_port);
}

std::chrono::steady_clock::duration AsClock(ConnectionLimits::Seconds seconds) {
  return std::chrono::duration_cast<std::chrono::steady_clock::duration>(seconds);
}

}  // namespace

ConnectionStream::ConnectionStream(int socket,
                                   SSL* tls,
                                   const ConnectionLimits& limits,
                                   const std::atomic<bool>& stopping,
                                   const std::atomic<int>& waiting)
    : socket_(socket), tls_(tls), limits_(limits), stopping_(stopping), waiting_(waiting), phase_began_(Clock::now()) {}

void ConnectionStream::Begin(Phase phase) {
  phase_ = phase;
  phase_began_ = Clock::now();
  phase_bytes_ = 0;
}

bool ConnectionStream::WaitForRequest() {
  trouble_ = Trouble::kNone;
  const Clock::time_point until = Clock::now() + AsClock(limits_.idle);
  if (at_ == filled_) {
    const bool pending = tls_ != nullptr && SSL_pending(tls_) > 0;
    // In short steps, so that a stop need not wait for clients that keep their connection.
    while (!pending && !WaitFor(POLLIN, std::min(until, Clock::now() + std::chrono::milliseconds(100)))) {
      if (stopping_ || waiting_ > 0 || Clock::now() >= until) return false;
    }
  }
  Begin(Phase::kHeader);
  return at_ < filled_ || Fill();
}

void ConnectionStream::HeaderIsRead() {
  Begin(Phase::kBody);
}

void ConnectionStream::AnswerBegins() {
  Begin(Phase::kAnswer);
}

bool ConnectionStream::WaitFor(short events, Clock::time_point until) const {
  while (true) {
    const auto left = std::chrono::ceil<std::chrono::milliseconds>(until - Clock::now()).count();
    pollfd poll_for{socket_, events, 0};
    const int ready = poll(&poll_for, 1, static_cast<int>(std::clamp<long long>(left, 0, 60'000)));
    if (ready > 0) return true;
    if (ready == 0 || errno != EINTR) return false;
  }
}

ConnectionStream::Clock::time_point ConnectionStream::Deadline() const {
  if (phase_ == Phase::kHeader) return phase_began_ + AsClock(limits_.header);
  return Clock::now() + AsClock(limits_.pause);
}

bool ConnectionStream::TooSlow() {
  const double took_s = std::chrono::duration<double>(Clock::now() - phase_began_).count();
  const bool slow = phase_ == Phase::kHeader ? took_s > limits_.header.count()
                                             : took_s > limits_.pause.count() && static_cast<double>(phase_bytes_) <
                                                                                     took_s * limits_.least_bytes_per_s;
  if (slow) trouble_ = Trouble::kTooSlow;
  return slow;
}

ssize_t ConnectionStream::ReadSome(char* to, std::size_t size) {
  while (true) {
    const bool pending = tls_ != nullptr && SSL_pending(tls_) > 0;
    if (!pending && !WaitFor(POLLIN, Deadline())) {
      trouble_ = Trouble::kTooSlow;
      return -1;
    }
    if (tls_ == nullptr) {
      const ssize_t got = recv(socket_, to, size, 0);
      if (got >= 0 || (errno != EINTR && errno != EAGAIN)) return got;
    } else {
      const int got = SSL_read(tls_, to, static_cast<int>(std::min<std::size_t>(size, 1U << 20U)));
      if (got > 0) return got;
      const int why = SSL_get_error(tls_, got);
      if (why == SSL_ERROR_ZERO_RETURN) return 0;
      if (why != SSL_ERROR_WANT_READ && why != SSL_ERROR_WANT_WRITE) return -1;
    }
    if (TooSlow()) return -1;
  }
}

bool ConnectionStream::Fill() {
  const ssize_t got = ReadSome(buffer_.data(), buffer_.size());
  at_ = 0;
  filled_ = got > 0 ? static_cast<std::size_t>(got) : 0;
  return filled_ > 0;
}

ssize_t ConnectionStream::read(char* to, std::size_t size) {
  if (trouble_ != Trouble::kNone) return -1;
  if (at_ == filled_) {
    if (TooSlow()) return -1;
    if (size >= buffer_.size() && phase_ == Phase::kBody) {
      const ssize_t got = ReadSome(to, size);
      if (got > 0) phase_bytes_ += static_cast<std::size_t>(got);
      return got;
    }
    if (!Fill()) return trouble_ == Trouble::kNone ? 0 : -1;
  }
  const std::size_t count = std::min(size, filled_ - at_);
  std::memcpy(to, buffer_.data() + at_, count);
  at_ += count;
  phase_bytes_ += count;
  if (phase_ == Phase::kHeader && phase_bytes_ > limits_.most_header_bytes) {
    trouble_ = Trouble::kHeaderTooLarge;
    return -1;
  }
  return static_cast<ssize_t>(count);
}

ssize_t ConnectionStream::write(const char* from, std::size_t size) {
  if (trouble_ != Trouble::kNone) return -1;
  if (phase_ != Phase::kAnswer) AnswerBegins();
  while (true) {
    if (!WaitFor(POLLOUT, Clock::now() + AsClock(limits_.pause)) || TooSlow()) {
      trouble_ = Trouble::kTooSlow;
      return -1;
    }
    if (tls_ == nullptr) {
      // Not waiting in send() itself: a client that reads nothing would hold us there.
      const ssize_t sent = send(socket_, from, size, MSG_NOSIGNAL | MSG_DONTWAIT);
      if (sent >= 0) {
        phase_bytes_ += static_cast<std::size_t>(sent);
        return sent;
      }
      if (errno != EINTR && errno != EAGAIN && errno != EWOULDBLOCK) return -1;
      continue;
    }
    const int sent = SSL_write(tls_, from, static_cast<int>(std::min<std::size_t>(size, 1U << 14U)));
    if (sent > 0) {
      phase_bytes_ += static_cast<std::size_t>(sent);
      return sent;
    }
    const int why = SSL_get_error(tls_, sent);
    if (why != SSL_ERROR_WANT_READ && why != SSL_ERROR_WANT_WRITE) return -1;
  }
}

void ConnectionStream::WriteRaw(const std::string& bytes) {
  trouble_ = Trouble::kNone;
  AnswerBegins();
  std::size_t sent = 0;
  while (sent < bytes.size()) {
    const ssize_t count = write(bytes.data() + sent, bytes.size() - sent);
    if (count <= 0) return;
    sent += static_cast<std::size_t>(count);
  }
}

void ConnectionStream::Linger() {
  // What a client may still send while it has not looked at the answer.
  constexpr auto kLongest = std::chrono::seconds(3);
  constexpr std::size_t kMost = 64U << 20U;
  if (tls_ != nullptr) SSL_shutdown(tls_);
  shutdown(socket_, SHUT_WR);
  const Clock::time_point until = Clock::now() + kLongest;
  std::size_t dropped = 0;
  while (dropped < kMost && !stopping_ && WaitFor(POLLIN, until)) {
    const ssize_t got = recv(socket_, buffer_.data(), buffer_.size(), MSG_DONTWAIT);
    if (got <= 0) return;
    dropped += static_cast<std::size_t>(got);
  }
}

bool ConnectionStream::is_readable() const {
  return at_ < filled_ || WaitFor(POLLIN, Clock::now() + AsClock(limits_.pause));
}

bool ConnectionStream::is_writable() const {
  return WaitFor(POLLOUT, Clock::now() + AsClock(limits_.pause));
}

void ConnectionStream::get_remote_ip_and_port(std::string& ip, int& port) const {
  AddressOf(socket_, getpeername, ip, port);
}

void ConnectionStream::get_local_ip_and_port(std::string& ip, int& port) const {
  AddressOf(socket_, getsockname, ip, port);
}

}  // namespace loftline
