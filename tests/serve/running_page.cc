// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/serve/running_page.h"

#include <arpa/inet.h>
#include <array>
#include <cstdlib>
#include <future>
#include <netinet/in.h>
#include <poll.h>
#include <stdexcept>
#include <sys/socket.h>
#include <unistd.h>

#include <fmt/format.h>

namespace loftline::test {
namespace {

namespace fs = std::filesystem;
using Clock = std::chrono::steady_clock;

double SecondsSince(Clock::time_point start) {
  return std::chrono::duration<double>(Clock::now() - start).count();
}

fs::path NewFolder() {
  std::string path = (fs::temp_directory_path() / "loftline-page-XXXXXX").string();
  if (mkdtemp(path.data()) == nullptr) throw std::runtime_error("no temporary folder");
  return path;
}

// Whether ALL holds a whole answer, by its own length; without one it ends when the other side hangs up.
bool IsWhole(const std::string& all) {
  const std::size_t end = all.find("\r\n\r\n");
  if (end == std::string::npos) return false;
  const std::size_t length = all.find("Content-Length: ");
  if (length == std::string::npos || length > end) return false;
  return all.size() >= end + 4 + std::stoul(all.substr(length + 16));
}

}  // namespace

std::string Reply::Header(const std::string& name) const {
  const std::size_t at = head.find("\r\n" + name + ": ");
  if (at == std::string::npos) return "";
  const std::size_t start = at + name.size() + 4;
  return head.substr(start, head.find("\r\n", start) - start);
}

RawClient::RawClient(int port) : socket_(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
  sockaddr_in address{};
  address.sin_family = AF_INET;
  address.sin_port = htons(static_cast<std::uint16_t>(port));
  inet_pton(AF_INET, "127.0.0.1", &address.sin_addr);
  if (connect(socket_, reinterpret_cast<const sockaddr*>(&address), sizeof(address)) != 0) {
    close(socket_);
    throw std::runtime_error("the page does not take a connection");
  }
}

RawClient::~RawClient() {
  close(socket_);
}

bool RawClient::Send(std::string_view bytes) const {
  while (!bytes.empty()) {
    const ssize_t sent = send(socket_, bytes.data(), bytes.size(), MSG_NOSIGNAL);
    if (sent <= 0) return false;
    bytes.remove_prefix(static_cast<std::size_t>(sent));
  }
  return true;
}

Reply RawClient::Receive(double timeout_s) const {
  const Clock::time_point start = Clock::now();
  std::string all;
  std::array<char, 65536> piece{};
  while (!IsWhole(all)) {
    const int left_ms = static_cast<int>(1000.0 * (timeout_s - SecondsSince(start)));
    pollfd wait{socket_, POLLIN, 0};
    if (left_ms <= 0 || poll(&wait, 1, left_ms) <= 0) break;
    const ssize_t got = recv(socket_, piece.data(), piece.size(), 0);
    if (got <= 0) break;
    all.append(piece.data(), static_cast<std::size_t>(got));
  }
  Reply reply;
  reply.took_s = SecondsSince(start);
  const std::size_t end = all.find("\r\n\r\n");
  if (!all.starts_with("HTTP/1.1 ") || end == std::string::npos) return reply;
  reply.status = std::stoi(all.substr(9, 3));
  reply.head = all.substr(0, end + 2);
  reply.body = all.substr(end + 4);
  return reply;
}

RunningPage::RunningPage(ServeOptions options, const std::vector<fs::path>& clips)
    : own_folder_(options.folder == "."), folder_(own_folder_ ? NewFolder() : options.folder) {
  for (const fs::path& clip : clips) fs::copy_file(clip, folder_ / clip.filename());
  options.folder = folder_;
  std::promise<ServeAddress> ready;
  std::future<ServeAddress> address = ready.get_future();
  thread_ = std::jthread([options, ready = std::move(ready)](const std::stop_token& stop) mutable {
    const Status status = ServePage(
        options, [&](const ServeAddress& at) { ready.set_value(at); }, stop);
    if (!status) {
      ready.set_exception(std::make_exception_ptr(std::runtime_error(status.error().message)));
    }
  });
  address_ = address.get();
  if (options.lan) return;
  const Reply entered = Raw(fmt::format("GET /?token={} HTTP/1.1\r\nHost: {}\r\n\r\n", token(), host()));
  const std::string set = entered.Header("Set-Cookie");
  cookie_ = set.substr(0, set.find(';'));
}

RunningPage::~RunningPage() {
  thread_.request_stop();
  thread_.join();
  std::error_code ignored;
  if (own_folder_) fs::remove_all(folder_, ignored);
}

std::string RunningPage::Request(const std::string& method,
                                 const std::string& target,
                                 const std::string& body,
                                 const std::string& extra) const {
  const bool reads = method == "GET" || method == "HEAD";
  return fmt::format("{} {} HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\n{}{}{}\r\n{}",
                     method,
                     target,
                     host(),
                     cookie_,
                     reads ? "" : fmt::format("Origin: http://{}\r\n", host()),
                     reads && body.empty() ? "" : fmt::format("Content-Length: {}\r\n", body.size()),
                     extra,
                     body);
}

Reply RunningPage::Ask(const std::string& method, const std::string& target, const std::string& body) const {
  return Raw(Request(method, target, body));
}

Reply RunningPage::Raw(const std::string& bytes, double timeout_s) const {
  const RawClient client(port());
  client.Send(bytes);
  return client.Receive(timeout_s);
}

bool RunningPage::IsWell() const {
  const Reply reply = Ask("GET", "/api/state");
  return reply.status == 200 && reply.Json().contains("version");
}

std::string RunningPage::Await(const std::string& job, double timeout_s) const {
  const Clock::time_point start = Clock::now();
  while (SecondsSince(start) < timeout_s) {
    const std::string state = Ask("GET", "/api/jobs/" + job).Json()["state"];
    if (state != "waiting" && state != "running") return state;
    std::this_thread::sleep_for(std::chrono::milliseconds(20));
  }
  return "";
}

std::string RunningPage::IdOf(const std::string& clip_name) const {
  const nlohmann::json list = Ask("GET", "/api/clips").Json();
  for (const nlohmann::json& clip : list["clips"]) {
    if (clip["name"] == clip_name) return clip["id"];
  }
  throw std::runtime_error("the folder has no " + clip_name);
}

}  // namespace loftline::test
