// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/serve/serve_page.h"

#include <chrono>
#include <filesystem>
#include <optional>
#include <string>
#include <thread>
#include <utility>
#include <vector>

#include <nlohmann/json.hpp>

namespace loftline::test {

// What came back on a socket. STATUS is 0 where nothing did before the other side hung up or TIMEOUT_S was over.
struct Reply {
  int status = 0;
  std::string head, body;
  double took_s = 0.0;
  std::string Header(const std::string& name) const;
  nlohmann::json Json() const { return nlohmann::json::parse(body); }
};

// A plain socket, so that anything at all can be sent.
class RawClient {
 public:
  explicit RawClient(int port);
  ~RawClient();
  RawClient(const RawClient&) = delete;
  RawClient& operator=(const RawClient&) = delete;
  bool Send(std::string_view bytes) const;  // false: the other side has hung up
  Reply Receive(double timeout_s = 10.0) const;
  int socket() const { return socket_; }

 private:
  int socket_ = -1;
};

// The page on a free port, in the options' folder or else in a temporary one of its own that goes with it.
class RunningPage {
 public:
  // CLIPS: paths of clips to put into the folder, as links.
  explicit RunningPage(ServeOptions options = {}, const std::vector<std::filesystem::path>& clips = {});
  ~RunningPage();
  RunningPage(const RunningPage&) = delete;
  RunningPage& operator=(const RunningPage&) = delete;

  int port() const { return address_.port; }
  const ServeAddress& address() const { return address_; }
  const std::filesystem::path& folder() const { return folder_; }
  const std::string& cookie() const { return cookie_; }
  std::string host() const { return "127.0.0.1:" + std::to_string(port()); }
  std::string token() const { return address_.address.substr(address_.address.find("token=") + 6); }

  // With our cookie, Host and Origin, unless EXTRA headers ("Name: value\r\n") say otherwise by LEAVE_OUT.
  std::string Request(const std::string& method,
                      const std::string& target,
                      const std::string& body = "",
                      const std::string& extra = "") const;
  Reply Ask(const std::string& method, const std::string& target, const std::string& body = "") const;
  Reply Raw(const std::string& bytes, double timeout_s = 10.0) const;
  // Does it still answer? What every attack must leave true.
  bool IsWell() const;
  // The state of a job once it is over; "" after TIMEOUT_S.
  std::string Await(const std::string& job, double timeout_s = 60.0) const;
  std::string IdOf(const std::string& clip_name) const;

 private:
  bool own_folder_ = true;
  std::filesystem::path folder_;
  ServeAddress address_;
  std::string cookie_;
  std::jthread thread_;
};

}  // namespace loftline::test
