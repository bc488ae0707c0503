// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/error.h"
#include "core/expected.h"

#include <cstdint>
#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <nlohmann/json.hpp>

namespace loftline {

// One request, after the gate has let it through.
struct WebRequest {
  std::string method, path;
  std::vector<std::string> parameters;       // what stands for the {} of the pattern, in order, decoded
  std::map<std::string, std::string> query;  // decoded; of several of one name, the first
  std::string body;                          // whole, for all but streamed routes
  // Streamed routes: hands the body over in pieces; TAKE says whether to go on. False: it ended early.
  std::function<bool(const std::function<bool(std::string_view)>& take)> read_body;
  std::optional<std::uint64_t> content_length;
  std::string if_none_match;  // the header of that name
};

struct WebResponse {
  int status = 200;
  std::string content_type = "application/json; charset=utf-8";
  std::string body;
  std::shared_ptr<const std::string> shared_body;            // instead of BODY, where somebody else keeps it
  std::optional<std::filesystem::path> file;                 // instead of both: streamed from disk
  std::vector<std::pair<std::string, std::string>> headers;  // more of them
};

WebResponse JsonResponse(const nlohmann::ordered_json& json, int status = 200);
// {"error": {...}} with the status that fits the error's kind, or STATUS.
WebResponse ErrorResponse(const Error& error, std::optional<int> status = {});
int HttpStatusOf(const Error& error);
// A file of ours, to look at or (DOWNLOAD) to be saved under its name. Our own pages hold their scripts and styles
// inside and forbid all else by their own policy, so that the server's does not apply to them.
WebResponse FileResponse(const std::filesystem::path& path, const std::string& type, bool download);

// Which handler answers which request. Patterns name whole path segments: "/api/clips/{}/frames/{}".
class Router {
 public:
  using Handler = std::function<WebResponse(const WebRequest& request)>;

  void Get(const std::string& pattern, Handler handler) { Add("GET", pattern, std::move(handler), kSmallBody); }
  void Put(const std::string& pattern, Handler handler) { Add("PUT", pattern, std::move(handler), kSmallBody); }
  void Post(const std::string& pattern, Handler handler) { Add("POST", pattern, std::move(handler), kSmallBody); }
  void Delete(const std::string& pattern, Handler handler) { Add("DELETE", pattern, std::move(handler), kSmallBody); }
  // A body of up to so many bytes that the handler takes in pieces.
  void PostStreamed(const std::string& pattern, std::uint64_t most_bytes, Handler handler) {
    Add("POST", pattern, std::move(handler), most_bytes, true);
  }

  struct Route {
    std::string method;
    std::vector<std::string> segments;
    Handler handler;
    std::uint64_t most_body_bytes = 0;
    bool streamed = false;
  };
  struct Match {
    const Route* route = nullptr;  // null: no such path, or (path_known) not with this method
    bool path_known = false;
    std::vector<std::string> parameters;
  };
  // PATH as it came, still encoded.
  Match Find(std::string_view method, std::string_view path) const;

 private:
  static constexpr std::uint64_t kSmallBody = 4U << 20U;
  void Add(std::string method, const std::string& pattern, Handler handler, std::uint64_t most, bool streamed = false);

  std::vector<Route> routes_;
};

// "%20" to " "; nothing where it is no valid encoding or holds a zero byte.
std::optional<std::string> PercentDecoded(std::string_view text);

}  // namespace loftline
